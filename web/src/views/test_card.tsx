// One test with its budget bar, its figures and the working of its limit.
import { arrow, decibels, digits, nanometres, percent } from "../model/format";
import type { Test } from "../model/outcome";
import { said, t } from "../model/texts";
import { BudgetBar, Mark } from "./parts";

function Working({ test }: { test: Test }) {
  if (test.working.length === 0) return null;
  return (
    <details>
      <summary>{t("working")}</summary>
      <div class="scroll">
        <table>
          <thead><tr><th>{t("working")}</th><th class="n">{t("count")}</th><th class="n">{t("each")}</th><th class="n">{t("total")}</th><th>{t("source")}</th></tr></thead>
          <tbody>
            {test.working.map((term, i) => (
              <tr key={i}><td>{said("term", term.term, term.term)}</td><td class="n">{digits(term.count, 4)}</td><td class="n">{decibels(term.each_db)}</td>
                <td class="n">{decibels(term.total_db)}</td><td class="small">{term.source}</td></tr>
            ))}
          </tbody>
        </table>
      </div>
      {test.rests_on_memory && <p class="hint">⚑ {t("memory")}</p>}
    </details>
  );
}

export function TestCard({ test }: { test: Test }) {
  return (
    <section class="card test">
      <h2>{nanometres(test.wavelength_nm)} {arrow(test.direction)} <Mark outcome={test.outcome} /></h2>
      <BudgetBar test={test} />
      <dl class="figures">
        <div><dt>{t("loss")}</dt><dd>{decibels(test.loss_db)}</dd></div>
        <div><dt>{t("limit")}</dt><dd>{decibels(test.limit_db)}</dd></div>
        <div><dt>{t("margin")}</dt><dd>{decibels(test.margin_db)}</dd></div>
        <div><dt>{t("uncertainty")}</dt><dd>{decibels(test.expanded_uncertainty_db)}</dd></div>
        {test.conformance_probability != null && <div><dt>{t("probability")}</dt><dd>{percent(test.conformance_probability)}</dd></div>}
      </dl>
      {test.reason && <p>{said("reason", test.reason_code, test.reason)}</p>}
      {test.reason_code === "no_limit" && test.reason && <p class="hint">{test.reason}</p>}
      <Working test={test} />
    </section>
  );
}
