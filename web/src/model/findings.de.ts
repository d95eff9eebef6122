// What findings say in German, by their kind. Their numbers stand in the evidence below; in English the service's own words,
// which hold them, are shown.
import type { Schemas } from "./outcome";

export type FindingKind = Schemas["Finding"]["kind"];
export const germanFindings: Record<FindingKind, { summary: string; advice: string }> = {
  "reference-disproved": {
    summary: "Messungen unter dieser Referenz zeigen mehr Licht als die Referenz selbst: Sie ist falsch.",
    advice: "Beide Leitungsenden reinigen und ansehen, die Quelle warm werden lassen, neue Referenz aufnehmen und diese Prüfungen wiederholen. Der Ausgang der Quelle strahlt: nie hineinsehen." },
  "reference-drift": {
    summary: "Die Referenz hatte sich bis zur Schlussprüfung verschoben: Die wahre Dämpfung liegt zwischen dem, was Anfang und Schluss ergeben.",
    advice: "Diese Prüfungen nach neuer Referenz wiederholen, die knappsten zuerst; Batterie der Quelle, Temperatur und Vorlaufleitung prüfen." },
  "meter-setting": {
    summary: "Das Messgerät stand beim Messen auf einer anderen Wellenlänge als bei der Referenz: Daraus folgt keine Dämpfung.",
    advice: "Messgerät auf die Wellenlänge der Quelle stellen, Referenz wiederholen, dann diese Messungen." },
  "instruments-changed": {
    summary: "Gemessen wurde mit einer anderen Quelle oder anderen Leitungen als bei jeder Referenz.",
    advice: "Referenz mit der Quelle und den Leitungen aufnehmen, die benutzt werden, dann wiederholen." },
  "method-unstated": {
    summary: "Nichts nennt die Methode der Referenz; niemand weiß, welche Verbindungen im Messwert stecken.",
    advice: "Die Methode nennen: im Plan, bei der Referenz oder für den Auftrag." },
  "no-light": {
    summary: "Am fernen Ende kam kein Licht an.",
    advice: "Durchgang von Ende zu Ende prüfen und ob die Faser vertauscht ist. Jeden Anschluss als aktiv behandeln: nie hineinsehen." },
  "loss-sign": {
    summary: "Jede Dämpfung der Datei ist negativ geschrieben: Entweder schreibt sie die Änderung des Pegels, oder die Referenz war falsch. Nichts wurde gedreht.",
    advice: "Schreibt die Datei die Änderung des Pegels, dies beim Einlesen bestätigen. Sonst neue Referenz aufnehmen und wiederholen." },
  "gain": {
    summary: "Einige Werte sind Gewinne, die eine passive Strecke nicht zeigen kann.",
    advice: "Diese Messungen nach neuer Referenz wiederholen; die Zahl nie ohne ihr Vorzeichen benutzen." },
  "names": {
    summary: "Messwerte nennen Fasern, die nicht im Plan stehen, aber solchen ähneln, die darin stehen.",
    advice: "Die Vorschläge am Feld prüfen, dann die Art bestätigen oder die Datei berichtigen." },
  "unscheduled": {
    summary: "Messwerte gehören zu keiner geplanten Faser. Sie sind aufgehoben und zählen nicht.",
    advice: "Den Trupp fragen: Fehlt eine Faser im Plan, oder war eine andere gemeint?" },
  "repeated-readings": {
    summary: "Prüfungen haben mehr als einen Messwert. Der letzte gültige zählt; ohne Zeitangabe der mit der größeren Dämpfung. Alle sind aufgehoben.",
    advice: "Nachsehen, dass jeder Wiederholung etwas vorausging (gereinigt, neu gespleißt, Leitung getauscht), und es festhalten." },
};
