import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { drawn, job, map, trouble } from "../api/live";
import { arrow, nanometres } from "../model/format";
import { heightOf, layOut, margin, rowAt, rowOf, strandsInView, type Layout } from "../model/layout";
import { noFilter, shown, type Dense, type Filter } from "../model/map";
import { key, letters, ofLetter, outcomes, shapes } from "../model/outcome";
import { go, href, route } from "../model/route";
import { t } from "../model/texts";
import { MapTable } from "./map_table";
import { Choice, Field, Tally, word, WrongWords } from "./parts";

const columnName = (column: { wavelength_nm: number | null; direction: string | null }) =>
  `${nanometres(column.wavelength_nm)} ${arrow(column.direction)}`.trim();

function paint(canvas: HTMLCanvasElement, all: Dense, layout: Layout, top: number, cursor: number, cursorColumn: number) {
  const ratio = devicePixelRatio || 1;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (canvas.width !== width * ratio || canvas.height !== height * ratio) {
    canvas.width = width * ratio;
    canvas.height = height * ratio;
  }
  const style = getComputedStyle(canvas);
  const inks = outcomes.map((outcome) => style.getPropertyValue(`--${key(outcome)}`).trim());
  const ink = style.getPropertyValue("--ink").trim();
  const pen = canvas.getContext("2d")!;
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, width, height);
  pen.textBaseline = "middle";
  const { cell } = layout;
  let named = -1;
  for (let r = rowAt(layout, top); r < layout.rows.length; ++r) {
    const row = layout.rows[r]!;
    const y = row.y - top;
    if (y > height) break;
    if (row.link !== named) {
      pen.fillStyle = ink;
      pen.font = `13px ${style.fontFamily}`;
      pen.fillText(all.map.links[row.link]!.link, 2, y + 7, margin - 8);
      named = row.link;
    }
    row.strands.forEach((strand, i) => {
      const x = margin + i * cell;
      row.columns.forEach((c, line) => {
        const code = all.cells[c]![strand]!;
        const cy = y + line * cell;
        if (strand === cursor && c === cursorColumn) {
          pen.strokeStyle = ink;
          pen.lineWidth = 2;
          pen.strokeRect(x - 1, cy - 1, cell + 1, cell + 1);
        }
        if (code >= letters.length) return;
        pen.fillStyle = inks[code]!;
        if (cell >= 13) {
          pen.font = `${cell - 2}px sans-serif`;
          pen.fillText(shapes[outcomes[code]!], x + 1, cy + cell / 2 + 1);
        } else if (code === 4) {
          pen.fillRect(x + cell / 2 - 0.5, cy + cell / 2 - 0.5, 1, 1);
        } else {
          // A fail fills its place, others leave a gap: place and size tell too where shapes are too small.
          const gap = code === 3 ? 0 : code === 5 ? cell / 3 : 1;
          pen.fillRect(x, cy + gap / 2, Math.max(1, cell - 1), Math.max(1, cell - gap));
        }
      });
    });
  }
}

export function MapScreen() {
  const all = map.value;
  const redraw = drawn.value;
  const [filter, setFilter] = useState<Filter>(noFilter);
  const [cell, setCell] = useState(16);
  const [cursor, setCursor] = useState({ at: 0, column: 0 });
  const [top, setTop] = useState(0);
  const [width, setWidth] = useState(800);
  const canvas = useRef<HTMLCanvasElement>(null);
  const box = useRef<HTMLDivElement>(null);
  const strands = useMemo(() => (all ? shown(all, filter) : new Uint32Array()), [all, filter, filter.outcome ? redraw : 0]);
  const layout = useMemo(() => (all ? layOut(all, strands, width, cell) : null), [all, strands, width, cell]);
  const current = strands[Math.min(cursor.at, strands.length - 1)] ?? -1;

  useEffect(() => {
    if (!box.current) return;
    const watch = new ResizeObserver(() => setWidth(box.current?.clientWidth ?? 800));
    watch.observe(box.current);
    return () => watch.disconnect();
  }, [all === null]);
  useEffect(() => {
    if (!canvas.current || !all || !layout) return;
    const frame = requestAnimationFrame(() => paint(canvas.current!, all, layout, top, current, cursor.column));
    return () => cancelAnimationFrame(frame);
  }, [all, layout, top, current, cursor.column, redraw, width]);

  if (!all || !layout) return <main id="content" class="page" tabIndex={-1}><p>{trouble.value || t("loading")}</p></main>;

  const open = (strand: number) => {
    const link = all.map.links[all.linkOf[strand]!]!;
    go(href(route.value.job, "strand", { link: link.link, strand: all.map.strands[strand]! }));
  };
  const placeOf = (event: MouseEvent) => {
    const rect = canvas.current!.getBoundingClientRect();
    const row = layout.rows[rowAt(layout, event.clientY - rect.top + top)];
    const i = Math.floor((event.clientX - rect.left - margin) / cell);
    const line = row ? Math.floor((event.clientY - rect.top + top - row.y) / cell) : 0;
    return i >= 0 && row?.strands[i] !== undefined ? { strand: row.strands[i]!, column: row.columns[line] ?? row.columns[0]! } : undefined;
  };
  const move = (by: number) => {
    const at = Math.max(0, Math.min(strands.length - 1, cursor.at + by));
    const row = layout.rows[rowOf(layout, at).row]!;
    setCursor({ at, column: row.columns.includes(cursor.column) ? cursor.column : row.columns[0]! });
    const tall = heightOf(row, cell);
    if (box.current && (row.y < top || row.y + tall > top + box.current.clientHeight)) box.current.scrollTop = Math.max(0, row.y - tall);
  };
  const press = (event: KeyboardEvent) => {
    const columns = layout.rows[rowOf(layout, cursor.at).row]?.columns ?? [0];
    const line = Math.max(0, columns.indexOf(cursor.column));
    if (event.key === "ArrowRight") move(1);
    else if (event.key === "ArrowLeft") move(-1);
    else if (event.key === "PageDown") move(layout.perRow * 8);
    else if (event.key === "PageUp") move(-layout.perRow * 8);
    else if (event.key === "ArrowDown" && line + 1 < columns.length) setCursor({ ...cursor, column: columns[line + 1]! });
    else if (event.key === "ArrowDown") move(layout.perRow);
    else if (event.key === "ArrowUp" && line > 0) setCursor({ ...cursor, column: columns[line - 1]! });
    else if (event.key === "ArrowUp") move(-layout.perRow);
    else if (event.key === "Enter" && current >= 0) open(current);
    else if (event.key === "+") setCell(Math.min(28, cell + 3));
    else if (event.key === "-") setCell(Math.max(4, cell - 3));
    else return;
    event.preventDefault();
  };
  const buildings = [...new Set(all.map.links.map((link) => link.building).filter(Boolean))].sort();
  const code = current >= 0 ? all.cells[cursor.column]?.[current] : undefined;
  const link = current >= 0 ? all.map.links[all.linkOf[current]!] : undefined;
  const here = current >= 0 && link
    ? t("map.here", { strand: `${link.link} ${all.map.strands[current]}`, column: columnName(all.map.columns[cursor.column]!),
                      outcome: code === undefined || code >= letters.length ? "–" : word(outcomes[code]!) })
    : "";
  return (
    <main id="content" class="page full" tabIndex={-1}>
      <h1 class="quiet">{t("map")}</h1>
      {job.value && <Tally summary={job.value.summary} />}
      {job.value?.problem && <WrongWords words={job.value.problem.what} />}
      <div class="filters">
        <Field label={t("map.find")}>{(id) => <input id={id} type="search" value={filter.text} onInput={(e) => setFilter({ ...filter, text: e.currentTarget.value })} />}</Field>
        {buildings.length > 0 && <Choice label={t("map.building")} value={filter.building} choose={(building) => setFilter({ ...filter, building })} options={[["", t("map.all")], ...buildings.map((b): [string, string] => [b, b])]} />}
        {all.map.people.length > 0 && <Choice label={t("map.person")} value={filter.person} choose={(person) => setFilter({ ...filter, person })} options={[["", t("map.all")], ...all.map.people.map((p): [string, string] => [p, p])]} />}
        <Choice label={t("outcome")} value={filter.outcome} choose={(outcome) => setFilter({ ...filter, outcome })}
          options={[["", t("map.all")], ...[...letters].map((letter): [string, string] => [letter, `${shapes[ofLetter(letter)!]} ${word(ofLetter(letter)!)}`])]} />
        <span class="pair">
          <button aria-label={t("map.zoom.out")} onClick={() => setCell(Math.max(4, cell - 3))}>−</button>
          <button aria-label={t("map.zoom.in")} onClick={() => setCell(Math.min(28, cell + 3))}>+</button>
        </span>
      </div>
      <p class="hint">{t("map.shown", { n: strands.length, all: all.map.strands.length })} · {all.map.columns.map(columnName).join(" / ")} · {t("map.help")}</p>
      <div class="map-box" ref={box} tabIndex={0} role="application" aria-label={t("map.label")} aria-describedby="map-here" onKeyDown={press}
        onScroll={(event) => setTop(event.currentTarget.scrollTop)}>
        <canvas ref={canvas} aria-hidden="true" onClick={(event) => { const place = placeOf(event); if (place) open(place.strand); }}
          onMouseMove={(event) => { const place = placeOf(event); if (place && (place.strand !== current || place.column !== cursor.column)) setCursor({ at: strands.indexOf(place.strand), column: place.column }); }} />
        <div class="map-height" ref={(div) => { if (div) div.style.height = `${layout.height}px`; }} />
      </div>
      <p id="map-here" class="here" aria-live="polite">{here}</p>
      <MapTable all={all} strands={() => strandsInView(layout, top, box.current?.clientHeight ?? 0, 60)} />
    </main>
  );
}
