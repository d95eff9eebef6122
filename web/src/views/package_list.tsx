// The list of strands: only the rows in sight are in the page, so that a hundred thousand scroll as well as ten.
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { decibels } from "../model/format";
import { outcomes } from "../model/outcome";
import type { Line, PackageData } from "../model/package";
import { t } from "../model/texts";
import { Chip, Mark } from "./parts";

const height = 44;
const spare = 6;

export function StrandList(props: { data: PackageData; lines: Line[]; chosen: number; choose: (strand: number) => void }) {
  const box = useRef<HTMLDivElement>(null);
  const [seen, setSeen] = useState({ top: 0, tall: 600 });
  useLayoutEffect(() => {
    const look = () => { if (box.current) setSeen({ top: box.current.scrollTop, tall: box.current.clientHeight }); };
    look();
    addEventListener("resize", look);
    return () => removeEventListener("resize", look);
  }, []);
  const first = Math.max(0, Math.floor(seen.top / height) - spare);
  const last = Math.min(props.lines.length, Math.ceil((seen.top + seen.tall) / height) + spare);
  const at = props.lines.findIndex((line) => line.strand === props.chosen);
  const move = (event: KeyboardEvent) => {
    const by = ({ ArrowDown: 1, ArrowUp: -1, PageDown: 12, PageUp: -12 } as Record<string, number>)[event.key];
    if (by === undefined || props.lines.length === 0) return;
    event.preventDefault();
    const next = Math.min(props.lines.length - 1, Math.max(0, at + by));
    props.choose(props.lines[next]!.strand);
    const list = box.current!;
    if (next * height < list.scrollTop) list.scrollTop = next * height;
    if ((next + 1) * height > list.scrollTop + list.clientHeight) list.scrollTop = (next + 1) * height - list.clientHeight;
  };
  return (
    <div class="leaf-list" ref={box} role="listbox" tabIndex={0} aria-label={t("pack.strands")} onKeyDown={move}
      aria-activedescendant={at >= first && at < last ? `strand-${props.chosen}` : undefined}
      onScroll={(event) => setSeen({ top: event.currentTarget.scrollTop, tall: event.currentTarget.clientHeight })}>
      <div ref={(filler) => { if (filler) filler.style.height = `${props.lines.length * height}px`; }}>
        {props.lines.slice(first, last).map((line, i) => {
          const row = props.data.strands[line.strand]!;
          return (
            <div key={line.strand} id={`strand-${line.strand}`} role="option" aria-selected={line.strand === props.chosen} class="leaf-row"
              ref={(each) => { if (each) each.style.top = `${(first + i) * height}px`; }} onClick={() => props.choose(line.strand)}>
              <span class="of-link">{row[0]} <Chip strand={row[1]} /></span>
              <span>{line.worst >= 0 && <Mark outcome={outcomes[line.worst]!} />}</span>
              <span class="n">{Number.isFinite(line.margin) ? decibels(line.margin) : "–"}</span>
            </div>
          );
        })}
      </div>
    </div>
  );
}
