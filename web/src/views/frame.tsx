import { useEffect, useRef } from "preact/hooks";
import { get, root } from "../api/client";
import { connected, job, openJob } from "../api/live";
import { flush, waiting } from "../api/queue";
import { preferences, prefer } from "../model/format";
import type { Schemas } from "../model/outcome";
import { href, route, screens, type Route } from "../model/route";
import { t } from "../model/texts";
import { Applications } from "./applications";
import { Audit } from "./audit";
import { Compare } from "./compare";
import { Before } from "./before";
import { Findings } from "./findings";
import { Handover } from "./handover";
import { Import } from "./import";
import { Jobs } from "./jobs";
import { MapScreen } from "./map";
import { Field } from "./parts";
import { People } from "./people";
import { Reading } from "./reading";
import { References } from "./references";
import { Rules } from "./rules";
import { Settings } from "./settings";
import { StrandScreen } from "./strand";
import { Traces } from "./traces";

const views: Record<Route["screen"], () => preact.JSX.Element> = {
  jobs: Jobs, map: MapScreen, strand: StrandScreen, reading: Reading, references: References, findings: Findings,
  applications: Applications, before: Before, traces: Traces,
  rules: Rules, import: Import, handover: Handover, settings: Settings, people: People, audit: Audit, compare: Compare,
};

function Person() {
  const box = useRef<HTMLInputElement>(null);
  const keep = (event: Event) => {
    event.preventDefault();
    if (box.current?.value.trim()) prefer({ person: box.current.value.trim() });
  };
  return (
    <main id="content" class="page narrow">
      <h1>strandbook</h1>
      <form onSubmit={keep}>
        <Field label={t("person")} hint={t("person.why")}>{(id) => <input id={id} ref={box} autocomplete="name" required />}</Field>
        <button class="strong" type="submit">{t("save")}</button>
      </form>
    </main>
  );
}

function Queue() {
  const count = waiting.value.length;
  if (count === 0) return null;
  return (
    <div class="queue" role="status">
      <span>⧗ {count === 1 ? t("waiting.one") : t("waiting", { n: count })}</span>
      <button onClick={() => void flush()}>{t("retry")}</button>
    </div>
  );
}

export function Frame() {
  const { job: id, screen } = route.value;
  const { paper, language, person } = preferences.value;
  useEffect(() => openJob(id), [id]);
  useEffect(() => {
    void flush();
    const timer = setInterval(() => void flush(), 5000);
    addEventListener("online", flush);
    return () => { clearInterval(timer); removeEventListener("online", flush); };
  }, []);
  useEffect(() => {
    get<Schemas["About"]>(`${root}/about`).then((about) => { if (about.person) prefer({ person: about.person }); }, () => undefined);
  }, []);
  useEffect(() => {
    document.documentElement.dataset["paper"] = paper;
    document.documentElement.lang = language;
  }, [paper, language]);
  useEffect(() => {
    document.title = `${t(screen === "strand" ? "strand" : screen)} – strandbook`;
    document.getElementById("content")?.focus({ preventScroll: true });
    document.querySelector("nav [aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
  }, [screen, language]);
  if (!person) return <Person />;
  const View = views[screen];
  return (
    <>
      <a class="skip" href="#content" onClick={(e) => { e.preventDefault(); document.getElementById("content")?.focus(); }}>{t("skip")}</a>
      <header class="spine">
        <a class="title" href="#/">{id ? (job.value?.name ?? id) : "strandbook"}</a>
        {id && (
          <nav aria-label={job.value?.name ?? id}>
            {screens.map((each) => (
              <a key={each} href={href(id, each)} aria-current={screen === each ? "page" : undefined}>{t(each)}</a>
            ))}
          </nav>
        )}
        {id && <span class="link-state" role="status"><span aria-hidden="true">{connected.value ? "●" : "○"} </span><span class="words">{t(connected.value ? "online" : "offline")}</span></span>}
        <a class="gear" href={id ? href(id, "settings") : "#/settings/settings"} aria-current={screen === "settings" ? "page" : undefined}>{t("settings")}</a>
      </header>
      <Queue />
      <View key={`${id}/${screen}`} />
    </>
  );
}
