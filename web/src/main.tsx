import { render } from "preact";
import "./app.css";
import { Frame } from "./views/frame";

render(<Frame />, document.body);
if ("serviceWorker" in navigator) void navigator.serviceWorker.register("/worker.js").catch(() => undefined);
