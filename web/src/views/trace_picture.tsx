import { useEffect, useRef, useState } from "preact/hooks";
import { along, decimal, preferences } from "../model/format";
import { eventAt, lineOf, moved, placeOf, raised, shapeOf, stretched, ticksOf, xOf, zoomed, type Curve, type SeenEvent, type Sight } from "../model/trace";
import { t } from "../model/texts";

export interface Drawn { key: string; name: string; from: "AB" | "BA"; curve: Curve; beside: boolean }
interface Props {
  drawn: Drawn[];
  events: SeenEvent[];
  chosen: number;
  choose: (event: number) => void;
  cursors: [number, number];
  setCursors: (cursors: [number, number]) => void;
  sight: Sight;
  setSight: (sight: Sight) => void;
  whole: () => void;
}

const [head, foot, side] = [26, 24, 46];  // room for event marks, distances, decibels
const ink = (name: string) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();

function paint(canvas: HTMLCanvasElement, p: Props, active: number) {
  const ratio = devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  if (canvas.width !== Math.round(width * ratio)) canvas.width = Math.round(width * ratio);
  if (canvas.height !== Math.round(height * ratio)) canvas.height = Math.round(height * ratio);
  const pen = canvas.getContext("2d")!;
  pen.setTransform(ratio, 0, 0, ratio, 0, 0);
  pen.clearRect(0, 0, width, height);
  const [w, h] = [width - side, height - head - foot];
  pen.font = `12px ${getComputedStyle(document.body).fontFamily}`;
  const [faint, dark, rule, accent] = [ink("faint"), ink("ink"), ink("rule"), ink("accent")];
  const { sight } = p;
  const y = (db: number) => head + ((sight.high - db) / (sight.high - sight.low)) * h;
  pen.strokeStyle = rule; pen.fillStyle = faint; pen.lineWidth = 1;
  pen.textAlign = "center"; pen.textBaseline = "top";
  for (const at of ticksOf(sight.from, sight.to, w, 90, preferences.value.feet ? 0.3048 : 1)) {
    const x = Math.round(side + xOf(sight, at, w)) + 0.5;
    pen.beginPath(); pen.moveTo(x, head); pen.lineTo(x, head + h); pen.stroke();
    if (x > side + 24 && x < width - 24) pen.fillText(along(at), x, head + h + 5);
  }
  pen.textAlign = "right"; pen.textBaseline = "middle";
  for (const at of ticksOf(sight.low, sight.high, h, 44)) {
    const line = Math.round(y(at)) + 0.5;
    pen.beginPath(); pen.moveTo(side, line); pen.lineTo(width, line); pen.stroke();
    pen.fillText(decimal(at, sight.high - sight.low < 2 ? 2 : 1), side - 6, line);
  }
  pen.save();
  pen.beginPath(); pen.rect(side, head, w, h); pen.clip();
  p.drawn.forEach((each, i) => {
    const line = lineOf(each.curve, sight, w, h);
    pen.strokeStyle = each.beside ? faint : each.from === "AB" ? dark : accent;
    pen.lineWidth = each.beside ? 1 : 1.6;
    pen.setLineDash(each.beside ? [[], [6, 3], [2, 3], [8, 3, 2, 3]][i % 4]! : []);
    pen.beginPath();
    for (let k = 0; k < line.length; k += 2) pen.lineTo(side + line[k]!, head + line[k + 1]!);
    pen.stroke();
    if (each.beside || line.length < 2) return;
    pen.setLineDash([]);
    const end = each.from === "AB" ? 0 : line.length - 2;
    const [lx, ly] = [side + Math.min(w - 12, Math.max(12, line[end]!)), head + Math.min(h - 12, Math.max(12, line[end + 1]! - 14))];
    pen.fillStyle = pen.strokeStyle; pen.font = `bold 14px ${getComputedStyle(document.body).fontFamily}`; pen.textAlign = "center";
    pen.fillText(each.from === "AB" ? "A" : "B", lx, ly);
  });
  pen.setLineDash([]);
  p.cursors.forEach((at, i) => {
    const x = Math.round(side + xOf(sight, at, w)) + 0.5;
    pen.strokeStyle = accent; pen.lineWidth = i === active ? 2 : 1; pen.setLineDash(i === 0 ? [] : [5, 4]);
    pen.beginPath(); pen.moveTo(x, head); pen.lineTo(x, head + h); pen.stroke();
    pen.fillStyle = accent; pen.textAlign = "left"; pen.textBaseline = "bottom"; pen.font = `bold 13px ${getComputedStyle(document.body).fontFamily}`;
    pen.fillText(String(i + 1), x + 4, head + h - 4);
  });
  pen.restore();
  pen.setLineDash([]);
  pen.textAlign = "center"; pen.textBaseline = "middle"; pen.font = `15px ${getComputedStyle(document.body).fontFamily}`;
  p.events.forEach((event, i) => {
    const x = side + xOf(sight, event.position_m, w);
    if (x < side || x > width) return;
    if (i === p.chosen) {
      pen.fillStyle = accent; pen.fillRect(x - 12, 1, 24, head - 4);
      pen.strokeStyle = accent; pen.lineWidth = 1.5; pen.beginPath(); pen.moveTo(x, head - 3); pen.lineTo(x, head + h); pen.stroke();
    }
    pen.fillStyle = i === p.chosen ? ink("accent-ink") : event.verdict === "beyond" ? ink("fail") : dark;
    pen.fillText(shapeOf(event.kind), x, head / 2);
  });
  pen.strokeStyle = dark; pen.lineWidth = 1; pen.strokeRect(side + 0.5, head + 0.5, w - 1, h - 1);
}

/** Traces over the link's length: drag to move, wheel or two fingers to come nearer, tap to set the active cursor. */
export function TracePicture(props: Props) {
  const { sight, setSight, cursors, setCursors, events, chosen, choose } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  const [active, setActive] = useState(0);
  const [size, setSize] = useState(0);
  const fingers = useRef(new Map<number, { x: number; y: number }>());
  const dragged = useRef(false);
  useEffect(() => {
    const watch = new ResizeObserver(() => setSize((n) => n + 1));
    watch.observe(canvas.current!);
    return () => watch.disconnect();
  }, []);
  useEffect(() => {
    const frame = requestAnimationFrame(() => canvas.current && paint(canvas.current, props, active));
    return () => cancelAnimationFrame(frame);
  }, [props.drawn, events, chosen, cursors, sight, active, size, preferences.value]);
  const wide = () => (canvas.current?.clientWidth ?? 800) - side;
  const tall = () => (canvas.current?.clientHeight ?? 400) - head - foot;
  const local = (event: PointerEvent | WheelEvent) => {
    const box = canvas.current!.getBoundingClientRect();
    return { x: event.clientX - box.left - side, y: event.clientY - box.top };
  };
  const put = (at: number) => setCursors(active === 0 ? [at, cursors[1]] : [cursors[0], at]);
  const wheel = (event: WheelEvent) => {
    event.preventDefault();
    const by = Math.exp(Math.max(-1, Math.min(1, event.deltaY / 300)));
    setSight(event.shiftKey ? stretched(sight, by) : zoomed(sight, placeOf(sight, local(event).x, wide()), by));
  };
  const down = (event: PointerEvent) => {
    canvas.current!.setPointerCapture(event.pointerId);
    fingers.current.set(event.pointerId, local(event));
    dragged.current = fingers.current.size > 1;
  };
  const drag = (event: PointerEvent) => {
    const before = fingers.current.get(event.pointerId);
    if (!before) return;
    const now = local(event);
    const other = [...fingers.current].find(([id]) => id !== event.pointerId)?.[1];
    if (other) {
      const by = Math.max(10, Math.abs(before.x - other.x)) / Math.max(10, Math.abs(now.x - other.x));
      setSight(zoomed(sight, placeOf(sight, (now.x + other.x) / 2, wide()), by));
    } else {
      if (!dragged.current && Math.hypot(now.x - before.x, now.y - before.y) < 5) return;
      dragged.current = true;
      const across = ((before.x - now.x) / wide()) * (sight.to - sight.from);
      setSight(raised(moved(sight, across), ((now.y - before.y) / tall()) * (sight.high - sight.low)));
    }
    fingers.current.set(event.pointerId, now);
  };
  const up = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
    if (dragged.current) return;
    const at = local(event);
    const event_ = at.y < head + 8 ? eventAt(events, sight, at.x, wide(), 22) : -1;
    if (event_ >= 0) choose(event_);
    else put(placeOf(sight, at.x, wide()));
  };
  const press = (event: KeyboardEvent) => {
    const pixel = ((sight.to - sight.from) / wide()) * (event.shiftKey ? 20 : 2);
    const at = cursors[active]!;
    const acts: Record<string, () => void> = {
      ArrowLeft: () => put(at - pixel), ArrowRight: () => put(at + pixel),
      ArrowUp: () => setSight(raised(sight, (sight.high - sight.low) / 12)), ArrowDown: () => setSight(raised(sight, -(sight.high - sight.low) / 12)),
      PageUp: () => setSight(moved(sight, -(sight.to - sight.from) / 3)), PageDown: () => setSight(moved(sight, (sight.to - sight.from) / 3)),
      "+": () => setSight(zoomed(sight, at, 0.7)), "-": () => setSight(zoomed(sight, at, 1.4)),
      "1": () => setActive(0), "2": () => setActive(1), Home: props.whole,
      n: () => choose(Math.min(events.length - 1, chosen + 1)), p: () => choose(Math.max(0, chosen - 1)),
    };
    const act = acts[event.key];
    if (!act) return;
    act();
    event.preventDefault();
  };
  const middle = (sight.from + sight.to) / 2;
  return (
    <figure class="trace">
      <div class="trace-box" tabIndex={0} role="application" aria-label={t("trace.picture")} aria-describedby="trace-keys" onKeyDown={press}>
        <canvas ref={canvas} aria-hidden="true" onWheel={wheel} onPointerDown={down} onPointerMove={drag} onPointerUp={up} onPointerCancel={(event) => fingers.current.delete(event.pointerId)} />
      </div>
      <div class="buttons trace-tools">
        <button aria-label={t("trace.nearer")} onClick={() => setSight(zoomed(sight, middle, 0.6))}>+</button>
        <button aria-label={t("trace.farther")} onClick={() => setSight(zoomed(sight, middle, 1 / 0.6))}>−</button>
        <button aria-label={t("trace.taller")} onClick={() => setSight(stretched(sight, 0.6))}>↕+</button>
        <button aria-label={t("trace.flatter")} onClick={() => setSight(stretched(sight, 1 / 0.6))}>↕−</button>
        <button onClick={props.whole}>{t("trace.whole")}</button>
        {[0, 1].map((i) => <button key={i} aria-pressed={active === i} onClick={() => setActive(i)}>{t("trace.cursor", { n: i + 1 })}</button>)}
      </div>
      <figcaption id="trace-keys" class="hint">{t("trace.keys")}</figcaption>
    </figure>
  );
}
