// Where the person is: "#/JOB/screen?link=..&strand=..".
import { signal } from "@preact/signals";

export const screens = ["map", "before", "reading", "references", "findings", "traces", "applications", "rules", "import", "handover"] as const;
export type Screen = (typeof screens)[number];
export interface Route { job: string; screen: Screen | "strand" | "jobs" | "settings" | "people" | "audit" | "compare"; query: URLSearchParams }

function parse(): Route {
  const [path = "", query = ""] = location.hash.replace(/^#\/?/, "").split("?");
  const [job = "", screen = ""] = path.split("/").map(decodeURIComponent);
  // These are of no job: "#/people/people", "#/settings/settings".
  if (job === screen && (screen === "people" || screen === "settings")) return { job: "", screen, query: new URLSearchParams(query) };
  if (!job) return { job: "", screen: "jobs", query: new URLSearchParams(query) };
  const known = ["strand", "settings", "people", "audit", "compare"].includes(screen) || (screens as readonly string[]).includes(screen);
  return { job, screen: known ? (screen as Route["screen"]) : "map", query: new URLSearchParams(query) };
}
export const route = signal<Route>(parse());
addEventListener("hashchange", () => { route.value = parse(); });

export function href(job: string, screen: Route["screen"], query: Record<string, string> = {}): string {
  const text = new URLSearchParams(query).toString();
  return `#/${encodeURIComponent(job)}/${screen}${text ? `?${text}` : ""}`;
}
export const go = (to: string): void => { location.hash = to; };
