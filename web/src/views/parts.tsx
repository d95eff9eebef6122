// Small pieces that several screens set.
import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { Trouble } from "../api/client";
import { budgetOf } from "../model/budget";
import { decibels, decimal, preferences } from "../model/format";
import { chipOf, key, outcomes, shapes, type Outcome, type Schemas, type Test } from "../model/outcome";
import { said, t, type Key } from "../model/texts";

export function Field(props: { label: string; hint?: string; children: (id: string) => ComponentChildren }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      {props.children(id)}
      {props.hint && <p class="hint">{props.hint}</p>}
    </div>
  );
}

export function Choice(props: { label: string; value: string; options: [string, string][]; choose: (value: string) => void }) {
  return (
    <Field label={props.label}>
      {(id) => (
        <select id={id} value={props.value} onChange={(event) => props.choose(event.currentTarget.value)}>
          {props.options.map(([value, text]) => <option key={value} value={value}>{text}</option>)}
        </select>
      )}
    </Field>
  );
}

export const word = (outcome: Outcome): string => t(`outcome.${key(outcome)}` as Key);
export function Mark({ outcome }: { outcome: Outcome }) {
  return <span class={`mark ${key(outcome)}`}><span aria-hidden="true">{shapes[outcome]}</span> {word(outcome)}</span>;
}

export function Chip({ strand }: { strand: string }) {
  const chip = chipOf(strand);
  return (
    <span class="strand-name">
      {chip && <span class={`chip ${chip.colour}${chip.tracer ? " tracer" : ""}`} aria-hidden="true" />}
      {strand}
    </span>
  );
}

export function Tally({ summary }: { summary: Schemas["Summary"] }) {
  const counts: [Outcome, number][] = outcomes.map((outcome) => [outcome, summary[outcome.replace(" ", "_") as keyof typeof summary]]);
  const all = Math.max(1, summary.planned);
  return (
    <div class="tally">
      <div class="tally-bar" aria-hidden="true">
        {counts.map(([outcome, n]) => n > 0 && <span key={outcome} class={key(outcome)} ref={(span) => { if (span) span.style.flexGrow = String(n / all); }} />)}
      </div>
      <ul>{counts.map(([outcome, n]) => n > 0 && <li key={outcome}><b>{n}</b> <Mark outcome={outcome} /></li>)}</ul>
    </div>
  );
}

const across = (left: number, width?: number) => (width === undefined ? { left: `${left}%` } : { left: `${left}%`, width: `${width}%` });

/** The report's budget bar: the limit's parts above, the loss with its whisker below, the limit as one line through both. */
export function BudgetBar({ test, wide }: { test: Test; wide?: boolean }) {
  const { limit_db: limit, loss_db: loss, expanded_uncertainty_db: u } = test;
  if (limit == null) return null;
  const bar = budgetOf(test);
  const words = loss == null ? t("bar.none", { limit: decibels(limit) })
    : t("bar", { loss: decibels(loss), limit: decibels(limit), u: decibels(u), outcome: word(test.outcome) });
  const side = !bar.limit || bar.limit.left > 80 ? "before" : bar.limit.left < 15 ? "after" : "";
  return (
    <div class={`budget ${wide ? "wide" : ""} ${key(test.outcome)}`} role="img" aria-label={words}>
      <div class="parts">
        {bar.parts.map((part, i) => (
          <div key={i} class={`part part-${part.away ? "away" : i % 3}`} style={across(part.left, part.width)} title={`${said("term", part.term, part.term)} ${decibels(part.total)}`}>
            <span class="name">{said("term", part.term, part.term)} </span><span class="figure">{decimal(part.total, 2)}</span>
          </div>
        ))}
      </div>
      <div class="losses">
        {bar.loss && <div class="loss" style={across(bar.loss.left, bar.loss.width)} />}
        {bar.whisker && <div class="whisker" style={across(bar.whisker.left, bar.whisker.width)} />}
        {bar.whisker && <div class="whisker inside" style={across(bar.whisker.insideLeft, bar.whisker.inside)} />}
      </div>
      <div class="scale">
        {bar.ticks.map((tick) => <span key={tick.value} style={across(tick.left)}>{decimal(tick.value, tick.places)}</span>)}
        <b>dB</b>
      </div>
      {bar.limit && <div class="limit" style={across(bar.limit.left)}><span class={side}>{t("limit")} {decimal(limit, 2)}</span></div>}
    </div>
  );
}

/** `step` where a screen shows more than one: what the cautions are of. */
export function Cautions({ kinds, step }: { kinds: ("light" | "glass" | "solvent" | "arc")[]; step?: string }) {
  return (
    <aside class="caution" aria-label={step ? `${t("caution")}: ${step}` : t("caution")}>
      <b>⚠ {t("caution")}</b>
      {kinds.map((kind) => <p key={kind}>{t(`caution.${kind}`)}</p>)}
      <p>{t("caution.local")}</p>
    </aside>
  );
}

export const WrongWords = ({ words }: { words: string }) => <div class="wrong" role="alert"><b>✕</b> {words}</div>;
export function Wrong({ failure }: { failure: unknown }) {
  if (!failure) return null;
  return <WrongWords words={failure instanceof Trouble && !failure.problem ? t("offline") : String((failure as Error).message)} />;
}

/** Answers of the service for a view; asked again when `key` changes. */
export function useAnswer<T>(ask: () => Promise<T>, key: unknown): { answer: T | null; failure: unknown; again: () => void } {
  const [answer, setAnswer] = useState<T | null>(null);
  const [failure, setFailure] = useState<unknown>(null);
  const [turn, setTurn] = useState(0);
  const latest = useRef(0);
  useEffect(() => {
    const mine = ++latest.current;
    ask().then((got) => { if (mine === latest.current) { setAnswer(() => got); setFailure(null); } },
               (wrong: unknown) => { if (mine === latest.current) setFailure(wrong); });
  }, [key, turn, preferences.value.language]);
  return { answer, failure, again: () => setTurn((n) => n + 1) };
}

/** A dialog that the Escape key closes and that keeps the focus. */
export function Dialog(props: { title: string; close: () => void; children: ComponentChildren }) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => box.current?.showModal(), []);
  return (
    <dialog ref={box} aria-label={props.title} onClose={props.close}>
      <h2>{props.title}</h2>
      {props.children}
      <button onClick={props.close}>{t("cancel")}</button>
    </dialog>
  );
}

/** Numbers or demands in sections, each with its source. */
export function SourcedNumbers({ sections }: { sections: Schemas["RuleSection"][] }) {
  return (
    <>
      {sections.map((section) => (
        <section key={section.title}>
          <h3>{section.title}</h3>
          <div class="scroll" tabIndex={0} role="region" aria-label={section.title}>
            <table>
              <thead><tr><th>{t("rule.what")}</th><th class="n">{t("value")}</th><th>{t("source")}</th><th>{t("standing")}</th></tr></thead>
              <tbody>
                {section.rows.map((row, i) => (
                  <tr key={i}><td>{row.what}{row.note && <p class="small">{row.note}</p>}</td><td class="n">{row.value} {row.unit}</td><td class="small">{row.source}</td><td class="small">{row.standing === "from memory" ? "⚑ " : ""}{said("standing", row.standing, row.standing)}</td></tr>
                ))}
              </tbody>
            </table>
          </div>
        </section>
      ))}
    </>
  );
}
