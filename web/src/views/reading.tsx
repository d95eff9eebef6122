import { useEffect, useRef, useState } from "preact/hooks";
import { drawn, map, revision } from "../api/live";
import { get, jobPath, root, send, Trouble } from "../api/client";
import { giveUp, record, waiting, type NewReading } from "../api/queue";
import { age, arrow, decibels, level, moment, nanometres, preferences, typed } from "../model/format";
import { markSent, markWaiting, nextDue, nowhere, placeAt, placeNamed, type Due } from "../model/map";
import type { Outcome, Schemas, Test } from "../model/outcome";
import { referenceFor } from "../model/reference";
import { href, route } from "../model/route";
import { said, t } from "../model/texts";
import { uuid } from "../model/uuid";
import { BudgetBar, Cautions, Chip, Choice, Mark, useAnswer, word, Wrong } from "./parts";

type Kind = "power" | "loss";
interface Said { outcome: Outcome | null; words: string; due: Due }

const keys = ["7", "8", "9", "4", "5", "6", "1", "2", "3", "−", "0", "."];

/** A number typed into the keypad by one more key. */
function typedOn(now: string, key: string): string {
  if (key === "Backspace") return now.slice(0, -1);
  if (key === "−" || key === "-") return now.startsWith("-") ? now.slice(1) : `-${now}`;
  if (key === "," || key === ".") return now.includes(".") ? now : `${now}${/\d$/.test(now) ? "" : "0"}.`;
  return /^\d$/.test(key) && now.length < 8 ? now + key : now;
}
/** Keys come faster than screens are drawn: what they build on is changed at once, and drawn later. */
function useNow<T>(first: T): [T, { current: T }, (next: T) => void] {
  const now = useRef(first);
  const [drawnNow, draw] = useState(first);
  return [drawnNow, now, (next) => { now.current = next; draw(() => next); }];
}

export function Reading() {
  const all = map.value;
  const cells = drawn.value;
  const { job, query } = route.value;
  const [due, dueNow, setDue] = useNow<Due | null>(null);
  const [text, textNow, setText] = useNow("");
  const [byWavelength, setByWavelength] = useState(false);
  const [panel, setPanel] = useState(false);
  const [kind, kindNow, setKind] = useNow<Kind>("power");
  const [preview, setPreview] = useState<Test | null>(null);
  const [last, setLast] = useState<Said | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const asked = useRef(0);
  const { answer: references } = useAnswer(() => get<Schemas["References"]>(`${jobPath(job)}/references`), revision.value);
  const { answer: recent, again } = useAnswer(() => get<Schemas["RecentReadings"]>(`${jobPath(job)}/readings?limit=8`), revision.value);
  const { answer: meters } = useAnswer(() => get<Schemas["Instrument"][]>(`${root}/instruments`), job);

  // The first due test, or the strand the person came from. What waits to be sent is not due again.
  useEffect(() => {
    if (!all) return;
    markWaiting(all, waiting.value.filter((one) => one.job === job && !one.refused).map((one) => one.reading));
    if (dueNow.current && dueNow.current.strand < all.map.strands.length) return;
    const named = placeNamed(all, query.get("link") ?? "", query.get("strand") ?? "");
    setDue(named ?? nextDue(all, null, byWavelength, null));
  }, [all]);

  const { link, column, strand } = all && due ? placeAt(all, due) : nowhere;
  const path = link ? `${jobPath(job)}/strand?${new URLSearchParams({ link: link.link, strand }).toString()}` : "";
  const { answer: view } = useAnswer(() => (path ? get<Schemas["StrandView"]>(path) : Promise.resolve(null)), `${path} ${cells}`);
  // Where a column stands for either direction, a strand may still demand both: the one without a reading is due.
  const plannedOf = (at: Due): Test | undefined => {
    const place = placeAt(all!, at);
    if (view?.strand.strand !== place.strand || view.strand.link !== place.link?.link) return undefined;
    const tests = view.tests.filter((test) => test.wavelength_nm === place.column?.wavelength_nm && (!place.column?.direction || test.direction === place.column.direction));
    return tests.find((test) => test.outcome === "not tested") ?? tests[0];
  };
  const planned = all && due ? plannedOf(due) : undefined;
  const direction = column?.direction ?? planned?.direction ?? null;
  const value = typed(text);
  const reference = referenceFor(references?.references ?? [], column?.wavelength_nm ?? null);

  const body = (at: Due, number: number | null): NewReading => {
    const place = placeAt(all!, at);
    const under = referenceFor(references?.references ?? [], place.column?.wavelength_nm ?? null);
    return {
      entry: uuid(), link: place.link!.link, strand: place.strand, wavelength_nm: place.column!.wavelength_nm ?? 0,
      direction: place.column!.direction ?? plannedOf(at)?.direction ?? null, time: new Date().toISOString().slice(0, 19) + "Z",
      operator: preferences.value.person, source: under?.source ?? null, meter: under?.meter ?? null, cords: under?.cords ?? null,
      ...(number === null ? { no_light: true } : kindNow.current === "power" ? { power_dbm: number } : { loss_db: number }),
    };
  };

  useEffect(() => {
    setPreview(null);
    if (value === null || !due || !link || !column) return;
    const mine = ++asked.current;
    const { entry: _, ...typedNow } = body(due, value);
    send<Schemas["Preview"]>("POST", `${jobPath(job)}/preview`, typedNow).then(
      (got) => { if (mine === asked.current) { setPreview(got.test); setWrong(null); } },
      (trouble) => { if (mine === asked.current && !(trouble as Trouble).away) setWrong(trouble); });
  }, [text, kind, due]);

  const advance = () => {
    const from = dueNow.current;
    if (!all) return;
    setText("");
    setPreview(null);
    setWrong(null);
    setDue(nextDue(all, from, byWavelength, panel && from ? all.linkOf[from.strand]! : null));
  };
  /** The next strand comes up at once; what becomes of this one is told when the book has it. */
  const keep = async (dark: boolean) => {
    const here = dueNow.current;
    const number = dark ? null : typed(textNow.current);
    if (!all || !here || (!dark && number === null)) return;
    const reading = body(here, number);
    markSent(all, here);
    advance();
    const name = `${reading.link} ${reading.strand}, ${nanometres(reading.wavelength_nm)}`;
    try {
      const kept = await record(job, reading);
      const outcome = kept?.test?.outcome ?? null;
      setLast({ outcome, due: here, words: `${name}: ${kept ? t("read.kept", { outcome: outcome ? word(outcome) : "–" }) : t("read.keep")}` });
      navigator.vibrate?.(outcome === "fail" ? [80, 60, 80] : 30);
      again();
    } catch (trouble) {
      setWrong(trouble);
    }
  };
  const press = (key: string) => {
    setPreview(null);  // never the outcome of a number that is no longer there
    setText(typedOn(textNow.current, key));
  };
  const readAgain = () => {
    if (!last) return;
    setText("");
    setDue(last.due);
    setLast(null);
  };
  const readMeter = async (name: string) => {
    const here = dueNow.current;
    try {
      const got = await send<Schemas["MeterReading"]>("POST", `${root}/instruments/read`, { name, set_wavelength_nm: column?.wavelength_nm ?? null });
      if (dueNow.current !== here) return;  // the person went on meanwhile: the level is another strand's
      setKind("power");
      setText(got.power_dbm.toFixed(2));
    } catch (trouble) { setWrong(trouble); }
  };
  const mine = recent?.readings.find((reading) => reading.operator === preferences.value.person);
  const undo = async () => {
    if (!mine) return;
    try {
      await send("POST", `${jobPath(job)}/withdrawals`, { fact: mine.fact, person: preferences.value.person, reason: t("read.undo.reason") });
      setLast(null);
      again();
    } catch (trouble) { setWrong(trouble); }
  };
  useEffect(() => {
    const letters: Record<string, () => void> = {
      n: () => void keep(true), s: advance, r: readAgain, u: () => void undo(), m: () => { if (meters?.[0]) void readMeter(meters[0].name); } };
    const hardware = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement;
      if (target.closest("input, select, dialog, textarea") || event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
      if (event.key === "Enter" && !target.closest("button, a, summary")) void keep(false);
      else if (/^[\d.,-]$|^Backspace$/.test(event.key)) press(event.key);
      else if (letters[event.key]) letters[event.key]!();
      else return;
      event.preventDefault();
    };
    addEventListener("keydown", hardware);
    return () => removeEventListener("keydown", hardware);
  });
  const refused = waiting.value.filter((one) => one.refused && one.job === job);

  return (
    <main id="content" class="page reading" tabIndex={-1}>
      <h1 class="quiet">{t("reading")}</h1>
      {!all && <p>{t("loading")}</p>}
      {all && !due && <p class="card">{t("read.none")} <a href={href(job, "map")}>{t("map")}</a></p>}
      {due && link && column && (
        <section class="card due" aria-labelledby="due">
          <p class="small">{t("read.next")}</p>
          <h2 id="due">{link.link} <Chip strand={strand} /></h2>
          <p class="where"><b>{nanometres(column.wavelength_nm)}</b> <b>{arrow(direction)}</b> {link.end_a && <span>{link.end_a} → {link.end_b}</span>}</p>
          <p class={`reference ${reference ? reference.state.replace(" ", "-") : "missing"}`}>
            {reference
              ? <>{t("read.reference")} {reference.reference ?? ""}: {level(reference.power_dbm)}, <b>{said("ref", reference.state, reference.state)}</b>, {t("ref.age", { age: age(reference.age_s) })}</>
              : <a href={href(job, "references")}>{t("read.noreference")}</a>}
            {" · "}{t("limit")} {decibels(planned?.limit_db)}
          </p>
          <output class="typed" aria-label={t("read.typed")} aria-live="off">{text ? (preferences.value.comma ? text.replace(".", ",") : text).replace("-", "−") : " "}<small>{kind === "power" ? "dBm" : "dB"}</small></output>
          <div class="verdict" role="status" aria-live="polite">
            {preview && <><Mark outcome={preview.outcome} /> {preview.loss_db != null && <b>{decibels(preview.loss_db)}</b>} {preview.reason && said("reason", preview.reason_code, preview.reason)}</>}
            {!preview && !text && last && <Told last={last} again={readAgain} />}
            {!preview && (text || !last) && <span>{"\u00a0"}</span>}
          </div>
          {(preview ?? planned) && <BudgetBar test={(preview ?? planned)!} wide />}
          <Wrong failure={wrong} />
          <div class="keypad">
            {keys.map((key) => <button key={key} class={`digit key-${keys.indexOf(key)}`} onClick={() => press(key)}>{key === "." && preferences.value.comma ? "," : key}</button>)}
            <button class="side" onClick={() => press("Backspace")} aria-label={t("read.delete")}>⌫</button>
            <button class="side" onClick={() => void keep(true)}>{t("read.dark")}</button>
            <button class="side" onClick={advance}>{t("read.skip")}</button>
            <button class="side" disabled={!mine} onClick={() => void undo()}>{t("read.undo")}</button>
            <button class="strong record" disabled={value === null} onClick={() => void keep(false)}>{t("read.record")}</button>
            {meters?.map((meter) => <button key={meter.name} class="meter" onClick={() => void readMeter(meter.name)}>{t("read.meter")}: {meter.name}</button>)}
          </div>
          <p class="hint keys">{t("read.keys")}</p>
        </section>
      )}
      <section class="beside">
        {refused.map((one) => (
          <div key={one.entry} class="wrong">{one.reading.link} {one.reading.strand}: {t("read.refused", { why: one.refused ?? "" })} <button onClick={() => void giveUp(one.entry)}>{t("withdraw")}</button></div>
        ))}
        <Choice label={t("read.kind")} value={kind} choose={(next) => setKind(next as Kind)} options={[["power", t("read.level")], ["loss", t("read.loss")]]} />
        <Choice label={t("read.order")} value={byWavelength ? "w" : "s"} choose={(order) => setByWavelength(order === "w")} options={[["s", t("read.by-strand")], ["w", t("read.by-wavelength")]]} />
        <label class="tick"><input type="checkbox" checked={panel} onChange={(event) => setPanel(event.currentTarget.checked)} /> {t("read.panel")}</label>
        <Cautions kinds={["light", "glass", "solvent"]} />
        <h2>{t("read.last")}</h2>
        <ol class="history">
          {recent?.readings.map((reading) => (
            <li key={reading.fact}>
              <a href={href(job, "strand", { link: reading.link, strand: reading.strand })}>{reading.link} {reading.strand}</a> {nanometres(reading.wavelength_nm)} {arrow(reading.direction)}{" "}
              {reading.no_light ? t("read.dark") : reading.power_dbm != null ? level(reading.power_dbm) : decibels(reading.loss_db)} {reading.outcome && <Mark outcome={reading.outcome} />}
              <span class="small"> {reading.operator} {moment(reading.time)}</span>
            </li>
          ))}
        </ol>
      </section>
    </main>
  );
}

/** What became of the last reading; where it is no pass, what to do next. */
function Told({ last, again }: { last: Said; again: () => void }) {
  const { outcome, words } = last;
  return (
    <div class="told">
      <p>{outcome && <Mark outcome={outcome} />} <span class="small">{words}</span></p>
      {outcome && outcome !== "pass" && <p class="small">{t(outcome === "invalid" ? "read.invalid" : "read.fail")} <button class="strong" onClick={again}>{t("read.again")}</button></p>}
    </div>
  );
}
