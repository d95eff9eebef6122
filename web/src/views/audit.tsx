// Who recorded what, fact by fact, the latest first.
import { useEffect, useState } from "preact/hooks";
import { get, jobPath } from "../api/client";
import { moment } from "../model/format";
import type { Schemas } from "../model/outcome";
import { href, route } from "../model/route";
import { t } from "../model/texts";
import { Wrong } from "./parts";

type Line = Schemas["AuditLine"];

export function Audit() {
  const { job } = route.value;
  const [lines, setLines] = useState<Line[]>([]);
  const [ended, setEnded] = useState(false);
  const [wrong, setWrong] = useState<unknown>(null);
  const more = async (held: Line[]) => {
    const last = held[held.length - 1];
    try {
      const next = await get<Line[]>(`${jobPath(job)}/audit${last ? `?before=${last.fact}` : ""}`);
      setLines([...held, ...next]);
      setEnded(next.length === 0);
    } catch (trouble) { setWrong(trouble); }
  };
  useEffect(() => { void more([]); }, [job]);
  return (
    <main id="content" class="page" tabIndex={-1}>
      <p><a href={href(job, "handover")}>← {t("handover")}</a></p>
      <h1>{t("audit")}</h1>
      <p class="hint">{t("audit.help")}</p>
      <Wrong failure={wrong} />
      <div class="scroll" tabIndex={0} role="region" aria-label={t("audit")}>
        <table>
          <thead><tr><th>{t("audit.time")}</th><th>{t("audit.by")}</th><th>{t("audit.what")}</th><th>{t("audit.chain")}</th></tr></thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.fact}><td>{moment(line.time)}</td><td>{line.by ?? "–"}</td><td>{line.summary}</td><td class="small code">{line.device.slice(0, 8)} #{line.number}</td></tr>
            ))}
          </tbody>
        </table>
      </div>
      {!ended && <p><button onClick={() => void more(lines)}>{t("audit.more")}</button></p>}
    </main>
  );
}
