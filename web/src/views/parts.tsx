// Small pieces that several screens set.
import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import { Trouble } from "../api/client";
import { decibels } from "../model/format";
import { chipOf, key, outcomes, shapes, type Outcome, type Schemas, type Test } from "../model/outcome";
import { t, type Key } from "../model/texts";

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

/** Loss, its uncertainty and the limit on one axis; the limit's parts above. */
export function BudgetBar({ test, wide }: { test: Test; wide?: boolean }) {
  const { limit_db: limit, loss_db: loss, expanded_uncertainty_db: u } = test;
  if (limit == null) return null;
  const top = Math.max(limit * 1.25, (loss ?? 0) + (u ?? 0), 0.1);
  const x = (db: number) => Math.max(0, Math.min(400, (db / top) * 400));
  const words = loss == null ? t("bar.none", { limit: decibels(limit) })
    : t("bar", { loss: decibels(loss), limit: decibels(limit), u: decibels(u), outcome: word(test.outcome) });
  let from = 0;
  const parts = test.working.filter((term) => term.total_db > 0).map((term) => {
    const part = { term: term.term, at: from, to: from + term.total_db };
    from = part.to;
    return part;
  });
  return (
    <svg class={`bar${wide ? " wide" : ""}`} viewBox="-4 0 412 56" role="img" aria-label={words}>
      {parts.map((part, i) => <rect key={i} class={`part part-${i % 3}`} x={x(part.at)} y={4} width={Math.max(0, x(part.to) - x(part.at))} height={10}><title>{part.term}</title></rect>)}
      <rect class="axis" x={0} y={30} width={400} height={1} />
      {loss != null && <rect class={`loss ${key(test.outcome)}`} x={0} y={22} width={x(loss)} height={16} />}
      {loss != null && u != null && <path class="whisker" d={`M${x(loss - u)} 30H${x(loss + u)}M${x(loss - u)} 24v12M${x(loss + u)} 24v12`} />}
      <path class="limit" d={`M${x(limit)} 0V46`} />
      <text class="bar-text" x={x(limit)} y={55} text-anchor="middle">{decibels(limit)}</text>
    </svg>
  );
}

export function Cautions({ kinds }: { kinds: ("light" | "glass" | "solvent")[] }) {
  return (
    <aside class="caution" aria-label={t("caution")}>
      <b>⚠ {t("caution")}</b>
      {kinds.map((kind) => <p key={kind}>{t(`caution.${kind}`)}</p>)}
      <p>{t("caution.local")}</p>
    </aside>
  );
}

export function Wrong({ failure }: { failure: unknown }) {
  if (!failure) return null;
  const problem = failure instanceof Trouble ? failure.problem : null;
  const words = failure instanceof Trouble && !problem ? t("offline") : String((failure as Error).message);
  const place = problem?.place;
  const at = place ? [place.file, place.sheet, place.row && `${t("imp.row")} ${place.row}`, place.column].filter(Boolean).join(", ") : "";
  return <div class="wrong" role="alert"><b>✕</b> {at && <i>{at}: </i>}{words}{problem?.expected && <span> ({t("imp.expected")}: {problem.expected})</span>}</div>;
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
  }, [key, turn]);
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
