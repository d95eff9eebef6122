import { useState } from "preact/hooks";
import { revision } from "../api/live";
import { get, jobPath, send } from "../api/client";
import { arrow, decibels, decimal, digits, moment, nanometres, preferences } from "../model/format";
import { drawn } from "../model/picture";
import type { Schemas } from "../model/outcome";
import { key } from "../model/outcome";
import { plotOf } from "../model/plot";
import { href, route } from "../model/route";
import { said, t } from "../model/texts";
import { Dialog, Field, Mark, useAnswer, Wrong } from "./parts";

type Finding = Schemas["Finding"];
/** "least_loss_db" becomes "least loss, dB", as in the report. */
function evidenceName(name: string): string {
  const units: Record<string, string> = { dbm: "dBm", db: "dB", nm: "nm", m: "m", s: "s" };
  const [, bare = name, unit] = /^(.*?)_(dbm|db|nm|m|s)$/.exec(name) ?? [];
  return said("evidence", bare, bare.replace(/_/g, " ")) + (unit ? `, ${units[unit]}` : "");
}

/** What the finding was seen by: those concerned filled, their neighbours hollow. */
function Evidence({ picture }: { picture: NonNullable<Finding["picture"]> }) {
  const pairs = picture.kind === "pairs";
  const [width, height] = pairs ? [200, 200] : [460, 120];
  const plot = drawn(picture, width, height);
  if (!plot) return null;
  return (
    <svg class={pairs ? "plot pairs" : "plot"} viewBox={`-52 -8 ${width + 64} ${height + 40}`} role="img" aria-label={`${picture.y} – ${picture.x}`}>
      <path class="axis" d={`M0 0V${height}H${width}`} />
      {plot.zero !== null && <path class="axis" d={`M0 ${plot.zero}H${width}`} />}
      {plot.even && <path class="axis even" d={`M${plot.even.x1} ${plot.even.y1}L${plot.even.x2} ${plot.even.y2}`} />}
      <text x={-4} y={8} text-anchor="end">{digits(plot.high, 3)}</text>
      <text x={-4} y={height} text-anchor="end">{digits(plot.low, 3)}</text>
      <text x={4} y={6}>{picture.y}</text>
      <text x={width} y={height + 16} text-anchor="end">{picture.x}</text>
      {plot.spots.map((spot, i) => <circle key={i} class={spot.marked ? "marked" : "beside"} cx={spot.x} cy={spot.y} r={spot.marked ? 4 : 2.5} />)}
      {plot.strokes.map((stroke, i) => <path key={i} class="limit" d={`M${stroke.x1} ${stroke.y}H${stroke.x2}`} />)}
    </svg>
  );
}

function Steps({ steps }: { steps: Finding["steps"] }) {
  if (steps.length === 0) return null;
  return (
    <details>
      <summary>{t("find.plan")}</summary>
      <ol class="history">
        {steps.map((step, i) => <li key={i}>{said("action", step.action, step.action)} <span class="small">{t("find.step", { cause: step.cause, share: Math.round(100 * step.share), minutes: step.minutes })}</span></li>)}
      </ol>
    </details>
  );
}

function Picture({ finding }: { finding: Finding }) {
  if (finding.picture) return <Evidence picture={finding.picture} />;
  const plot = plotOf(finding.tests, 460, 120);
  if (!plot) return null;
  return (
    <svg class="plot" viewBox="-44 -8 512 140" role="img" aria-label={t("find.picture")}>
      <path class="axis" d={`M0 0V120M0 ${plot.zero}H460`} />
      <text x={-4} y={8} text-anchor="end">{decibels(plot.high)}</text>
      <text x={-4} y={120} text-anchor="end">{decibels(plot.low)}</text>
      {plot.dots.map((dot, i) => (
        <g key={i}>
          {dot.limit !== null && <path class="limit" d={`M${dot.x - 3} ${dot.limit}h6`} />}
          <circle class={key(dot.test.outcome)} cx={dot.x} cy={dot.y} r={plot.dots.length > 120 ? 1.5 : 3.5}><title>{`${dot.test.link} ${dot.test.strand}: ${decibels(dot.test.loss_db)}`}</title></circle>
        </g>
      ))}
    </svg>
  );
}

function Acknowledge({ finding, close }: { finding: Finding; close: () => void }) {
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState<unknown>(null);
  const keep = async (event: Event) => {
    event.preventDefault();
    try {
      await send("POST", `${jobPath(route.value.job)}/acknowledgements`, { key: finding.key, person: preferences.value.person, reason });
      close();
    } catch (trouble) { setWrong(trouble); }
  };
  return (
    <Dialog title={t("find.acknowledge")} close={close}>
      <p>{finding.summary}</p>
      <form onSubmit={keep}>
        <Field label={t("reason")} hint={t("reason.needed")}>{(id) => <input id={id} value={reason} required onInput={(e) => setReason(e.currentTarget.value)} />}</Field>
        <Wrong failure={wrong} />
        <button class="strong" type="submit">{t("find.acknowledge")}</button>
      </form>
    </Dialog>
  );
}

export function Findings() {
  const { job } = route.value;
  const { answer, failure, again } = useAnswer(() => get<Finding[]>(`${jobPath(job)}/findings`), revision.value);
  const [chosen, setChosen] = useState<Finding | null>(null);
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("findings")}</h1>
      <Wrong failure={failure} />
      {!answer && !failure && <p>{t("loading")}</p>}
      {answer?.length === 0 && <p class="card">{t("find.none")}</p>}
      {answer?.map((finding) => (
        <article key={finding.key} class="card finding">
          <p class={`weight ${finding.weight}`}>{said("weight", finding.weight, finding.weight)}</p>
          <h2>{finding.id} · {finding.summary}</h2>
          <p><b>{t("find.next")}:</b> {finding.advice}</p>
          {finding.caution && <p class="caution">{finding.caution}</p>}
          <Picture finding={finding} />
          <p class="small">{finding.chance === null ? t("find.certain") : t("find.chance", { chance: finding.chance < 1e-6 ? `< ${decimal(0.0001, 4)} %` : `${digits(100 * finding.chance, 2)} %` })}</p>
          <Steps steps={finding.steps} />
          <dl class="figures">
            {Object.entries(finding.evidence).map(([name, value]) => <div key={name}><dt>{evidenceName(name)}</dt><dd>{typeof value === "number" ? digits(value, 4) : String(value)}</dd></div>)}
          </dl>
          {finding.tests_total > 0 && (
            <details>
              <summary>{t("find.tests", { n: finding.tests_total })}</summary>
              <ul class="history">
                {finding.tests.slice(0, 200).map((test, i) => (
                  <li key={i}><a href={href(job, "strand", { link: test.link, strand: test.strand })}>{test.link} {test.strand}</a> {nanometres(test.wavelength_nm)} {arrow(test.direction)} {decibels(test.loss_db)} <Mark outcome={test.outcome} /> <span class="small">{moment(test.time)}</span></li>
                ))}
              </ul>
            </details>
          )}
          {finding.acknowledged
            ? <p class="hint">✓ {t("find.acknowledged", { person: String(finding.acknowledged.person), reason: String(finding.acknowledged.reason) })}</p>
            : <button onClick={() => setChosen(finding)}>{t("find.acknowledge")}</button>}
        </article>
      ))}
      {chosen && <Acknowledge finding={chosen} close={() => { setChosen(null); again(); }} />}
    </main>
  );
}
