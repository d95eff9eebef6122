import { useEffect, useState } from "preact/hooks";
import { get, root, send } from "../api/client";
import { refresh } from "../api/live";
import { prefer, preferences, type Preferences } from "../model/format";
import type { Schemas } from "../model/outcome";
import { t } from "../model/texts";
import { Choice, Field, Wrong } from "./parts";

type Instrument = Schemas["Instrument"];
const fresh: Instrument = { name: "", address: "tcp://127.0.0.1:5025", unit: "dBm",
  commands: { identify: "*IDN?", power: "READ:POW?", wavelength: "SENS:POW:WAV?", set_wavelength: "SENS:POW:WAV {nm}NM" } };

function Instruments() {
  const [list, setList] = useState<Instrument[] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  useEffect(() => { get<Instrument[]>(`${root}/instruments`).then(setList, setWrong); }, []);
  const keep = async (event: Event) => {
    event.preventDefault();
    try { setList(await send<Instrument[]>("PUT", `${root}/instruments`, list)); setWrong(null); } catch (trouble) { setWrong(trouble); }
  };
  const change = (at: number, next: Instrument) => setList(list!.map((each, i) => (i === at ? next : each)));
  return (
    <form onSubmit={keep}>
      <h2>{t("set.meters")}</h2>
      <p class="hint">{t("set.meters.help")}</p>
      {list?.map((meter, i) => {
        const command = (label: string, name: keyof Instrument["commands"]) => (
          <Field label={label}>{(id) => <input id={id} class="code" value={meter.commands[name]} onInput={(e) => change(i, { ...meter, commands: { ...meter.commands, [name]: e.currentTarget.value } })} />}</Field>
        );
        return (
          <fieldset key={i} class="card">
            <legend>{meter.name || t("set.add")}</legend>
            <div class="row">
              <Field label={t("set.name")}>{(id) => <input id={id} required value={meter.name} onInput={(e) => change(i, { ...meter, name: e.currentTarget.value })} />}</Field>
              <Field label={t("set.address")}>{(id) => <input id={id} class="code" required value={meter.address} onInput={(e) => change(i, { ...meter, address: e.currentTarget.value })} />}</Field>
              <Choice label={t("set.unit")} value={meter.unit} choose={(unit) => change(i, { ...meter, unit: unit as "dBm" })} options={[["dBm", "dBm"], ["W", "W"]]} />
              {command(t("set.identify"), "identify")}{command(t("set.power"), "power")}{command(t("set.wavelength"), "wavelength")}{command(t("set.set-wavelength"), "set_wavelength")}
            </div>
            <button type="button" onClick={() => setList(list.filter((_, each) => each !== i))}>{t("read.delete")}</button>
          </fieldset>
        );
      })}
      <Wrong failure={wrong} />
      <p class="buttons">
        <button type="button" onClick={() => setList([...(list ?? []), fresh])}>{t("set.add")}</button>
        <button class="strong" type="submit" disabled={!list}>{t("save")}</button>
      </p>
    </form>
  );
}

export function Settings() {
  const now = preferences.value;
  return (
    <main id="content" class="page" tabIndex={-1}>
      <h1>{t("settings")}</h1>
      <section class="card">
        <Field label={t("person")} hint={t("person.why")}>{(id) => <input id={id} value={now.person} onChange={(e) => { if (e.currentTarget.value.trim()) prefer({ person: e.currentTarget.value.trim() }); }} />}</Field>
        <Choice label={t("set.language")} value={now.language} choose={(language) => { prefer({ language: language as Preferences["language"] }); void refresh(); }} options={[["en", "English"], ["de", "Deutsch"]]} />
        <Choice label={t("set.paper")} value={now.paper} choose={(paper) => prefer({ paper: paper as Preferences["paper"] })} options={[["auto", t("set.auto")], ["bright", t("set.bright")], ["dark", t("set.dark")]]} />
        <label class="tick"><input type="checkbox" checked={now.comma} onChange={(e) => prefer({ comma: e.currentTarget.checked })} /> {t("set.comma")}</label>
        <label class="tick"><input type="checkbox" checked={now.feet} onChange={(e) => prefer({ feet: e.currentTarget.checked })} /> {t("set.feet")}</label>
      </section>
      <section class="card"><Instruments /></section>
    </main>
  );
}
