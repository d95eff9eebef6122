import { useEffect, useRef, useState } from "preact/hooks";
import { get, jobPath, root, send, Trouble, upload } from "../api/client";
import type { Schemas } from "../model/outcome";
import { refresh } from "../api/live";
import { percent, typed } from "../model/format";
import { route } from "../model/route";
import { said, t } from "../model/texts";
import { Choice, Field, Wrong, WrongWords } from "./parts";

type Staged = Schemas["StagedImport"];
type Purpose = Schemas["Purpose"];

/** The map of columns as `--columns` writes it: only what differs from what the file itself told. */
function columnsText(meanings: Map<string, string>): string {
  return [...meanings].filter(([, field]) => field).map(([heading, field]) => `${field}=${heading}`).join("; ");
}

function Fate({ staged, path, reread, done, rest, takeRest }: { staged: Staged; path: string; reread: () => void; done: (words: string) => void; rest: number; takeRest: (choices: Staged["choices"]) => void }) {
  const [meanings, setMeanings] = useState(new Map<string, string>());
  const [sign, setSign] = useState<string>(staged.choices.loss_sign);
  const [dates, setDates] = useState<string>(staged.choices.date_order);
  const [wrong, setWrong] = useState<unknown>(null);
  const attempt = async (act: () => Promise<void>) => {
    try { setWrong(null); await act(); } catch (trouble) { setWrong(trouble); }
  };
  const traces = staged.purpose === "traces";
  const [pattern, setPattern] = useState(staged.choices.pattern ?? "");
  const [launch, setLaunch] = useState(staged.choices.launch_m == null ? "" : String(staged.choices.launch_m));
  const [receive, setReceive] = useState(staged.choices.receive_m == null ? "" : String(staged.choices.receive_m));
  const again = () => attempt(async () => {
    const columns = [staged.choices.columns, columnsText(meanings)].filter(Boolean).join("; ");
    await send("POST", `${path}/choices`, { columns, loss_sign: sign, date_order: dates, pattern, launch_m: typed(launch), receive_m: typed(receive) });
    reread();
  });
  const accept = () => attempt(async () => {
    const got = await send<Schemas["ImportAccepted"]>("POST", `${path}/accept`);
    done(got.words);
  });
  return (
    <>
      <ul class="notes">{staged.notes.map((note, i) => <li key={i}>{note}</li>)}</ul>
      {traces && (
        <div class="row">
          <Field label={t("imp.pattern")} hint={t("imp.pattern.help", { example: "{link}_{strand}_{direction}" })}>{(id) => <input id={id} value={pattern} maxLength={200} onInput={(event) => setPattern(event.currentTarget.value)} />}</Field>
          <Field label={t("imp.launch")}>{(id) => <input id={id} inputMode="decimal" value={launch} onInput={(event) => setLaunch(event.currentTarget.value)} />}</Field>
          <Field label={t("imp.receive")}>{(id) => <input id={id} inputMode="decimal" value={receive} onInput={(event) => setReceive(event.currentTarget.value)} />}</Field>
        </div>
      )}
      {!traces && <h2>{t("imp.columns")}</h2>}
      {!traces && <div class="scroll" tabIndex={0} role="region" aria-label={t("imp.columns")}>
        <table>
          <thead><tr><th>{t("imp.heading")}</th><th>{t("imp.meaning")}</th><th>{t("imp.samples")}</th></tr></thead>
          <tbody>
            {staged.columns.map((column, i) => (
              <tr key={i}>
                <td><b>{column.letter}</b> {column.heading}</td>
                <td>
                  <select aria-label={`${t("imp.meaning")}: ${column.heading}`} value={meanings.get(column.heading) ?? column.meaning ?? ""}
                    onChange={(event) => setMeanings(new Map(meanings).set(column.heading, event.currentTarget.value))}>
                    <option value="">{t("imp.unused")}</option>
                    {column.meaning && !staged.fields.includes(column.meaning) && <option value={column.meaning}>{said("field", column.meaning, column.meaning)}</option>}
                    {staged.fields.map((field) => <option key={field} value={field}>{said("field", field, field)}</option>)}
                  </select>
                </td>
                <td class="small">{column.samples.join(" · ")}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>}
      {!traces && <div class="row">
        {staged.purpose === "readings" && <Choice label={t("imp.sign")} value={sign} choose={setSign} options={[["as-written", t("imp.as-written")], ["change-of-level", t("imp.change-of-level")]]} />}
        <Choice label={t("imp.dates")} value={dates} choose={setDates} options={[["by-proof", t("imp.by-proof")], ["day-first", t("imp.day-first")], ["month-first", t("imp.month-first")]]} />
      </div>}
      <button onClick={() => void again()}>{t("imp.again")}</button>
      <h2>{t("imp.rows")}</h2>
      <p><b>{t("imp.used", { n: staged.counts.used })}</b>, {t("imp.unread", { n: staged.counts.unread })}</p>
      {staged.unread.length > 0 && (
        <div class="scroll" tabIndex={0} role="region" aria-label={t("imp.unread", { n: staged.counts.unread })}>
          <table>
            <thead><tr><th>{t("imp.row")}</th><th>{t("imp.found")}</th><th>{t("imp.expected")}</th></tr></thead>
            <tbody>{staged.unread.map((row, i) => <tr key={i}><td>{row.place?.row ?? "–"} {row.place?.column}</td><td>{row.found}</td><td>{row.expected} <span class="small">{row.advice}</span></td></tr>)}</tbody>
          </table>
        </div>
      )}
      <details>
        <summary>{t("imp.rows")}</summary>
        <ul class="history">{staged.rows.map((row, i) => <li key={i}>{row.used ? "✓" : "✕"} {t("imp.row")} {row.row}: {row.words}</li>)}</ul>
      </details>
      <Wrong failure={wrong} />
      <p class="buttons"><button class="strong" onClick={() => void accept()}>{t("imp.accept")}</button>
        {rest > 0 && <button onClick={() => takeRest(staged.choices)}>{t("imp.rest", { n: rest + 1 })}</button>}</p>
    </>
  );
}

const merged = (got: Schemas["Merged"]): boolean => got.refused.length + got.read_by_several.length + got.planned_differently.length > 0;

/** Facts of other crews: their carry-file in, one of this book out. */
function Crews() {
  const base = jobPath(route.value.job);
  const [got, setGot] = useState<Schemas["Merged"] | null>(null);
  const [busy, setBusy] = useState(false);
  const [file, setFile] = useState<{ task: string; name: string } | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const box = useRef<HTMLInputElement>(null);
  const take = async (chosen: File | undefined) => {
    if (!chosen) return;
    setBusy(true); setWrong(null); setGot(null);
    try { setGot(await upload<Schemas["Merged"]>(`${base}/merge`, chosen)); } catch (trouble) { setWrong(trouble); }
    if (box.current) box.current.value = "";
    setBusy(false);
  };
  const give = async () => {
    setBusy(true); setWrong(null); setFile(null);
    try {
      const { task } = await send<Schemas["TaskId"]>("POST", `${base}/carry`, {});
      for (;;) {
        const look = await get<Schemas["Task"]>(`${root}/tasks/${task}`);
        if (look.state === "running") { await new Promise((after) => setTimeout(after, 250)); continue; }
        if (look.error) setWrong(new Trouble(look.error, 409));
        else setFile({ task, name: look.file ?? "" });
        break;
      }
    } catch (trouble) { setWrong(trouble); }
    setBusy(false);
  };
  return (
    <section class="card">
      <h2>{t("crews")}</h2>
      <p class="hint">{t("crews.help")}</p>
      <label class="field"><span class="hint">{t("crews.take")}</span><input ref={box} type="file" accept=".carry" disabled={busy} onChange={(event) => void take(event.currentTarget.files?.[0])} /></label>
      <p class="buttons"><button disabled={busy} onClick={() => void give()}>{t("crews.give")}</button>
        {file && <a class="button" href={`${root}/tasks/${file.task}/file`} download={file.name}>{t("hand.save", { file: file.name })}</a>}</p>
      {busy && <p role="status"><progress /> {t("loading")}</p>}
      <Wrong failure={wrong} />
      {got && (
        <div role="status">
          <p>✓ {t("crews.taken", { new: got.new_facts, known: got.known_facts })}</p>
          {merged(got) && <h3>{t("crews.look")}</h3>}
          {got.read_by_several.length > 0 && <p>{t("crews.several", { n: got.read_by_several.length })} {got.read_by_several.slice(0, 10).join(", ")}</p>}
          <ul>{[...got.planned_differently, ...got.refused].slice(0, 50).map((each, i) => <li key={i}>{each.what}</li>)}</ul>
        </div>
      )}
    </section>
  );
}

export function Import() {
  const base = `${jobPath(route.value.job)}/imports`;
  const [purpose, setPurpose] = useState<Purpose>("schedule");
  const [id, setId] = useState("");
  const [staged, setStaged] = useState<Staged | null>(null);
  const [turn, setTurn] = useState(0);
  const [words, setWords] = useState("");
  const [rest, setRest] = useState<File[]>([]);
  const [busy, setBusy] = useState("");
  const [wrong, setWrong] = useState<unknown>(null);
  const box = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (!id) return;
    let wanted = true;
    const look = async () => {
      try {
        const got = await get<Staged>(`${base}/${id}`);
        if (!wanted) return;
        setStaged(got);
        if (got.state === "reading") setTimeout(() => void look(), 250);
      } catch (trouble) { if (wanted) setWrong(trouble); }
    };
    void look();
    return () => { wanted = false; };
  }, [id, turn]);
  const stage = (file: File) => upload<Schemas["ImportId"]>(`${base}?${new URLSearchParams({ file: file.name, purpose }).toString()}`, file);
  const take = async (file: File | undefined, more: File[] = []) => {
    setRest(more);
    if (!file) return;
    setWrong(null);
    setStaged(null);
    try {
      setId((await stage(file)).import);
    } catch (trouble) { setWrong(trouble); }
  };
  const read = async (import_: string): Promise<Staged> => {
    for (;;) {
      const look = await get<Staged>(`${base}/${import_}`);
      if (look.state !== "reading") return look;
      await new Promise((after) => setTimeout(after, 100));
    }
  };
  /** This file and those chosen with it, one after the other, read in the same way; each is told. */
  const takeRest = async (choices: Staged["choices"]) => {
    const told: string[] = [];
    const accept = async (one: string) => told.push((await send<Schemas["ImportAccepted"]>("POST", `${base}/${one}/accept`)).words);
    try {
      await accept(id);
      for (const file of rest) {
        setBusy(file.name);
        const one = (await stage(file)).import;
        await read(one);
        await send("POST", `${base}/${one}/choices`, choices);
        await read(one);
        await accept(one);
      }
    } catch (trouble) { setWrong(trouble); }
    setBusy("");
    setRest([]);
    setWords(told.join(" · "));
    drop();
    void refresh();
  };
  const drop = () => { setId(""); setStaged(null); if (box.current) box.current.value = ""; };
  const cancel = async () => {
    try { await send("DELETE", `${base}/${id}`); } catch (trouble) { setWrong(trouble); }
    drop();
  };
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("import")}</h1>
      <div class="card drop" onDragOver={(event) => event.preventDefault()} onDrop={(event) => { event.preventDefault(); void take(event.dataTransfer?.files[0], [...(event.dataTransfer?.files ?? [])].slice(1)); }}>
        <Choice label={t("imp.purpose")} value={purpose} choose={(next) => setPurpose(next as Purpose)} options={[["schedule", t("imp.schedule")], ["references", t("imp.references")], ["readings", t("imp.readings")], ["calibrations", t("imp.calibrations")], ["continuity", t("imp.continuity")], ["traces", t("imp.traces")]]} />
        <label class="field"><span class="hint">{t("imp.drop")}</span><input ref={box} type="file" accept={purpose === "traces" ? undefined : ".csv,.txt,.tsv,.xlsx,.ods"} multiple={purpose === "traces"} onChange={(event) => void take(event.currentTarget.files?.[0], [...(event.currentTarget.files ?? [])].slice(1))} /></label>
      </div>
      <Wrong failure={wrong} />
      {busy && <p role="status"><progress /> {busy}</p>}
      {words && <p class="card" role="status">✓ {words}</p>}
      {staged && (
        <section class="card">
          <h2>{staged.file}</h2>
          {staged.state === "reading" && <p role="status">{t("imp.working")} <progress value={staged.progress} max={1} /> {percent(staged.progress)}</p>}
          {staged.error && <WrongWords words={staged.error.what} />}
          {staged.state === "ready" && <Fate key={`${id} ${turn}`} staged={staged} path={`${base}/${id}`} reread={() => setTurn(turn + 1)} rest={rest.length} takeRest={(choices) => void takeRest(choices)} done={(said) => { setWords(said); drop(); void refresh(); void take(rest[0], rest.slice(1)); }} />}
          {staged.state !== "accepted" && <button onClick={() => void cancel()}>{t("cancel")}</button>}
        </section>
      )}
      <Crews />
    </main>
  );
}
