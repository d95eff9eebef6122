// Events of a strand's traces as a table, and along the link as a strip.
import { along, decibels, decimal } from "../model/format";
import { t, type Key } from "../model/texts";
import { shapeOf, type Judged, type SeenEvent } from "../model/trace";

export type Seen = Pick<Judged, "events" | "length_m">;
export const kindWords = (kind: SeenEvent["kind"]): string => t(`trace.kind.${kind.replaceAll(" ", "-")}` as Key);
export const measured = (value: number | null, u: number | null) => (value == null ? "–" : `${decimal(value, 3)}${u == null ? "" : ` ± ${decimal(2 * u, 3)}`}`);

const EventName = ({ event }: { event: SeenEvent }) => <><span aria-hidden="true">{shapeOf(event.kind)}</span> {kindWords(event.kind)}</>;

/** The link as a line from A to B; a stroke is an event, a tall one is beyond its limit. */
export function Strip({ judged }: { judged: Seen }) {
  const width = 600;
  const at = (metres: number) => (judged.length_m > 0 ? Math.min(width, Math.max(0, (metres / judged.length_m) * width)) : 0);
  return (
    <svg class="plot strip" viewBox={`-20 0 ${width + 40} 44`} role="img" aria-label={t("trace.picture")}>
      <text x={-16} y={26}>A</text><text x={width + 8} y={26}>B</text>
      <path class="axis" d={`M0 22H${width}`} />
      {judged.events.map((event, i) => {
        const half = event.verdict === "beyond" ? 18 : event.kind === "reflective" || event.kind === "end of fibre" ? 12 : 7;
        return <path key={i} class="limit" d={`M${at(event.position_m)} ${22 - half}V${22 + half}`} />;
      })}
    </svg>
  );
}

/** `choose` ties the table to a picture; without it the table stands by itself. */
export function Events({ judged, chosen = -1, choose }: { judged: Seen; chosen?: number; choose?: (event: number) => void }) {
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label={t("trace.events")}>
      <table class="events">
        <thead><tr><th>{t("trace.event")}</th><th class="n">{t("trace.from-a-end")}</th><th class="n">A→B dB</th><th class="n">B→A dB</th><th class="n">{t("trace.mean")}</th><th>{t("trace.verdict")}</th></tr></thead>
        <tbody>
          {judged.events.map((event, i) => (
            <tr key={i} class={i === chosen ? "chosen" : ""} aria-selected={choose ? i === chosen : undefined}>
              <td>{choose ? <button class="plain" aria-pressed={i === chosen} onClick={() => choose(i)}><EventName event={event} /></button> : <EventName event={event} />}</td>
              <td class="n">{along(event.position_m)}</td>
              <td class="n">{measured(event.from_a_db, event.from_a_uncertainty_db)}</td>
              <td class="n">{measured(event.from_b_db, event.from_b_uncertainty_db)}</td>
              <td class="n">{event.mean_db == null && event.mean_least_db != null && event.mean_most_db != null
                ? `${decimal(event.mean_least_db, 3)} … ${decimal(event.mean_most_db, 3)}` : measured(event.mean_db, event.mean_uncertainty_db)}</td>
              <td>{event.verdict && event.verdict !== "open" && <b class={event.verdict === "beyond" ? "mark fail" : "mark pass"}>{event.verdict === "beyond" ? "✕" : "✓"} {t(`trace.verdict.${event.verdict === "beyond" ? "beyond" : event.verdict === "within" ? "within" : "relaxed"}`)}</b>}
                {event.limit_db != null && <span class="small"> {decibels(event.limit_db)}, {event.limit_source}</span>}
                {event.attempts > 1 && <span class="small"> · {t("splice.attempt-n", { n: event.attempts })}</span>}
                {event.consequence && <p class="small">{event.consequence}</p>}
                {event.verdict === "open" && (event.limit_db != null || event.attempts > 1) && event.reason && <p class="small">{event.reason}</p>}
                {event.explanation && <p class="small">{event.explanation}</p>}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
