// Who may come in: people with their devices, and a code for the next one.
import { useState } from "preact/hooks";
import { get, root, send } from "../api/client";
import { moment } from "../model/format";
import type { Schemas } from "../model/outcome";
import { t, type Key } from "../model/texts";
import { Choice, Field, useAnswer, Wrong } from "./parts";

type Role = Schemas["Role"];
const roles: Role[] = ["crew", "reads", "lead"];
const word = (role: Role): string => t(`role.${role}` as Key);

/** Light modules and four more around are part of the code: it is drawn dark on white whatever the paper. */
function QrCode({ rows, words }: { rows: string[]; words: string }) {
  const size = rows.length + 8;
  const path = rows.flatMap((row, y) => [...row].map((cell, x) => (cell === "1" ? `M${x + 4} ${y + 4}h1v1h-1z` : ""))).join("");
  return (
    <svg class="qr" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={words} shape-rendering="crispEdges">
      <rect width={size} height={size} fill="#fff" /><path d={path} fill="#000" />
    </svg>
  );
}

function Told({ invited, close }: { invited: Schemas["Invited"]; close: () => void }) {
  return (
    <section class="card" role="status">
      <h2>{t("people.code", { name: invited.invitation.name })}</h2>
      <p class="code big">{invited.code}</p>
      {invited.qr.length > 0 && <QrCode rows={invited.qr} words={t("people.qr", { link: invited.links[0] ?? "" })} />}
      <ul>{invited.links.map((link) => <li key={link} class="code">{link}</li>)}</ul>
      <p class="hint">{t("people.how")}</p>
      <button onClick={close}>{t("people.done")}</button>
    </section>
  );
}

export function People() {
  const [turn, setTurn] = useState(0);
  const { answer, failure } = useAnswer(() => get<Schemas["People"]>(`${root}/people`), String(turn));
  const [name, setName] = useState("");
  const [role, setRole] = useState<Role>("crew");
  const [invited, setInvited] = useState<Schemas["Invited"] | null>(null);
  const [wrong, setWrong] = useState<unknown>(null);
  const invite = async (event: Event) => {
    event.preventDefault();
    setWrong(null);
    try {
      setInvited(await send<Schemas["Invited"]>("POST", `${root}/people/invitations`, { name: name.trim(), role }));
      setName("");
      setTurn(turn + 1);
    } catch (trouble) { setWrong(trouble); }
  };
  const cutOff = async (id: string) => {
    try { await send("DELETE", `${root}/people/${id}`); } catch (trouble) { setWrong(trouble); }
    setTurn((now) => now + 1);
  };
  return (
    <main id="content" class="page" tabIndex={-1}>
      <p><a href="#/">← {t("jobs")}</a></p>
      <h1>{t("people")}</h1>
      <Wrong failure={failure ?? wrong} />
      <form onSubmit={invite} class="card">
        <h2>{t("people.invite")}</h2>
        <div class="row">
          <Field label={t("people.name")}>{(id) => <input id={id} value={name} required maxLength={100} onInput={(e) => setName(e.currentTarget.value)} />}</Field>
          <Choice label={t("people.role")} value={role} choose={(next) => setRole(next as Role)} options={roles.map((each) => [each, word(each)])} />
        </div>
        <button class="strong" type="submit">{t("people.make")}</button>
      </form>
      {invited && <Told invited={invited} close={() => { setInvited(null); setTurn(turn + 1); }} />}
      <h2>{t("people.in")}</h2>
      <ul class="cards">
        {answer?.people.map((each) => (
          <li key={each.id} class="card">
            <h3>{each.name} · {word(each.role)}{each.me && ` · ${t("people.me")}`}</h3>
            <p class="small">{each.device}</p>
            <p>{t("people.seen", { time: moment(each.seen) })}</p>
            <button onClick={() => void cutOff(each.id)}>{t("people.cut-off")}</button>
          </li>
        ))}
        {answer?.invitations.map((each) => (
          <li key={each.id} class="card">
            <h3>{each.name} · {word(each.role)}</h3>
            <p>{t("people.invited", { time: moment(each.until) })}</p>
            <button onClick={() => void cutOff(each.id)}>{t("people.withdraw")}</button>
          </li>
        ))}
      </ul>
    </main>
  );
}
