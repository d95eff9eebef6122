import { render } from "preact";
import "./app.css";
import type { PackageData } from "./model/package";
import { preferences } from "./model/format";
import { PackagePage } from "./views/package";

const data = JSON.parse(document.getElementById("data")!.textContent!) as PackageData;
// The page speaks the language that the package was made in: its sentences stand in the data.
preferences.value = { ...preferences.value, language: data.language, comma: data.language === "de", feet: data.feet };
document.documentElement.lang = data.language;
document.title = data.title || data.job;
document.documentElement.dataset["paper"] = "auto";
render(<PackagePage data={data} />, document.body);
