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
  "reference-offset": {
    summary: "Dämpfungen unter dieser Referenz sind alle um denselben Betrag zu hoch oder zu niedrig: Sie ist vermutlich falsch.",
    advice: "Leitungsenden reinigen und ansehen, neue Referenz aufnehmen und eine dieser Fasern darunter messen. Verschiebt sie sich ebenso, alles Aufgeführte wiederholen, das Knappste zuerst." },
  "reference-shift": {
    summary: "Unter dieser Referenz verschieben sich die Dämpfungen ab einer Faser: Leitung oder Quelle hat sich verändert.",
    advice: "Die Referenz jetzt nochmals ablesen. Hat sie sich bewegt, alles seitdem Gemessene wiederholen; sonst die Enden der Messleitungen reinigen und ansehen." },
  "reference-cords": {
    summary: "Die Messwerte lassen je Verbindung weniger übrig, als Verbindungen verlieren: Leitungen in der Referenz nahmen sie heraus, oder es gibt sie nicht.",
    advice: "Sagen, wie viele Leitungen in der Referenz waren. Eine Faser unter neuer Einleitungs-Referenz messen: Liegt sie um etwa eine Verbindung höher, hielt diese Referenz mehr Leitungen als angegeben." },
  "reference-unproven": {
    summary: "Nichts bestätigt die Referenz: keine Schlussprüfung und keine andere Referenz ihrer Wellenlänge. Ihr Fehler ist von der Dämpfung der Verbindungen nicht zu trennen.",
    advice: "Die Referenz vor dem Einpacken nochmals ablesen (Schlussprüfung). Ist es dafür zu spät, neue Referenz aufnehmen und die Prüfstrecke nochmals messen: Der Unterschied ist der Fehler." },
  "reference-missing": { summary: "Pegel ohne jede Referenz.", advice: "Die Referenzen des Tages einlesen; gibt es keine, eine aufnehmen und wiederholen." },
  "reference-ambiguous": { summary: "Mehrere Referenzen kommen in Frage, und nichts sagt, welche.", advice: "Die Referenz bei jedem Messwert nennen oder Messwert und Referenz ihre Zeit geben." },
  "reference-later": { summary: "Messwerte sind älter als jede passende Referenz.", advice: "Uhren von Messgerät und Tablet prüfen. Gehen sie richtig, unter einer Referenz wiederholen." },
  "reference-expired": { summary: "Die Referenz war beim Messen zu alt.", advice: "Zu Beginn jeder Schicht eine neue Referenz aufnehmen und diese Messungen wiederholen." },
  "methods-differ": { summary: "Messwerte beruhen auf einer anderen Methode der Referenz, als der Plan verlangt.", advice: "Nachsehen, wie viele Leitungen in der Referenz waren, die falsche Angabe berichtigen oder wiederholen." },
  "level-for-loss": { summary: "Dämpfungen weit unter null, wie Pegel in dBm: dB und dBm sind vermischt.", advice: "Als Pegel mit ihrer Referenz einlesen oder nach den Dämpfungen fragen." },
  "headroom": { summary: "Die Dämpfungen der Datei sehen aus wie Reserve zur Grenze.", advice: "Fragen, was in der Spalte steht. Zur Übergabe gehört die gemessene Dämpfung, nicht was von der Grenze übrig blieb." },
  "below-fibre": { summary: "Weniger Dämpfung, als die Faser allein haben muss: Länge, Wellenlänge oder Referenz ist falsch.", advice: "Die Länge im Plan prüfen (Fuß?), dann die Wellenlänge, dann die Referenz." },
  "wavelengths-exchanged": { summary: "Die Werte der beiden Wellenlängen stehen vertauscht.", advice: "Eine Faser bei beiden Wellenlängen nochmals messen. Bestätigt sie es, die Aufzeichnung berichtigen; von selbst wird nichts gedreht." },
  "bend": { summary: "Eine Faser verliert bei der längeren Wellenlänge mehr, als Faser und Nachbarn erklären, bei der kürzeren nicht: Biegung oder Zug.", advice: "Faser an Feld und Kassette spannungsfrei legen; enge Bögen und zu lange Spleißschütze suchen. Muffe schließen, dann beide Wellenlängen nochmals messen." },
  "direction-differs": { summary: "Die beiden Richtungen verlieren verschieden viel.", advice: "Beide Enden und die Leitungen reinigen und ansehen, den Aufdruck auf gemischte Kerndurchmesser lesen, dann beide Richtungen nochmals messen. Der Mittelwert heilt es nicht." },
  "crossed": { summary: "Die Dämpfung der einen Faser von A ist die der anderen von B: Sie sind vermutlich vertauscht.", advice: "Licht in die eine schicken und nachsehen, wo es herauskommt; Spleiß oder Feld berichtigen, dann beide messen." },
  "strand-unlike": { summary: "Eine Faser verliert bei jeder Wellenlänge mehr als ihre Nachbarn: eine Verbindung oder ein Spleiß.", advice: "Beide Enden und die Stecker im Feld reinigen und ansehen, neu stecken und messen. Bleibt es, Rückstreumessung." },
  "shared-cause": { summary: "Fasern, die nicht bestehen, haben etwas gemeinsam.", advice: "Dort zuerst reinigen und ansehen, dann eine dieser Fasern nochmals messen. Sind Teile nicht zu trennen, eines davon wechseln: Was sich bewegt, ist die Ursache." },
  "length-units": { summary: "Gemessene und geplante Längen stehen im Verhältnis Fuß zu Meter.", advice: "Nachsehen, welche stimmt, und berichtigen: Die Grenze wächst mit der Länge." },
  "length-differs": { summary: "Gemessene Längen weichen vom Plan ab.", advice: "Plan mit der Zeichnung und den Metermarken am Mantel vergleichen, und ob dies das gemeinte Kabel ist." },
  "limit-count": { summary: "Eine ganze Strecke liegt gleichmäßig über ihrer Grenze, um weniger als ein Teil wert ist, das der Zählung fehlen kann.", advice: "Verbindungen und Spleiße auf der Zeichnung und an den Feldern zählen. Stimmt der Plan, ist die ganze Strecke schlecht: zuerst ihre Referenz ansehen." },
  "readings-alike": { summary: "Fasern hintereinander haben genau denselben Messwert: Das zeigt kein Messgerät.", advice: "Zwei davon nochmals messen. Unterscheiden sie sich, alle messen: Das Gerät hing, oder der Wert wurde kopiert." },
  "readings-copied": { summary: "Messwerte gleichen Faser für Faser und bis zur letzten Stelle denen einer anderen Spalte: Das tun keine zwei Kabel.", advice: "Einige davon nochmals messen. Unterscheiden sie sich, wurde kopiert: alles messen." },
  "pace": { summary: "Fasern folgen schneller aufeinander, als Stecker zu bewegen sind.", advice: "Fragen, wie gemessen wurde. Ein Gerät, das viele Fasern zugleich liest, erklärt es; sonst einige nochmals messen." },
  "repeat-selection": { summary: "Besteht nur in einer Wiederholung, die nicht mehr besser ist, als Messwerte von selbst streuen.", advice: "Festhalten, was zwischen den Messungen getan wurde (gereinigt, neu gespleißt, Leitung getauscht). War es nichts, am Mittel aller Messwerte entscheiden." },
  "missing-tests": { summary: "In einer fast fertigen Strecke fehlen Prüfungen.", advice: "Nachmessen, solange der Trupp da ist, oder nachsehen, ob sie unter anderem Namen aufgezeichnet wurden." },
};

const german: Record<string, string> = {
  "order in time": "Reihenfolge", "difference, dB": "Unterschied, dB", "position in the link": "Platz in der Strecke", "above the neighbours' median, dB": "über dem Median der Nachbarn, dB",
  "cable and reference": "Kabel und Referenz", "above what is typical, dB": "über dem Üblichen, dB", "cable and pair of references": "Kabel und Paar von Referenzen", "difference of the two, dB": "Unterschied der beiden, dB",
  "test": "Prüfung", "loss, dB": "Dämpfung, dB",
  "against the same strands under another reference": "gegen dieselben Fasern unter anderer Referenz", "against neighbours of the same cable": "gegen Nachbarn desselben Kabels", "from cable to cable": "von Kabel zu Kabel",
  "against readings under other references": "gegen Messungen unter anderen Referenzen", "against what its connections and fibre typically lose": "gegen das, was Verbindungen und Faser üblicherweise verlieren",
  "against the same strands at the other wavelength": "gegen dieselben Fasern bei der anderen Wellenlänge", "against the same strands in the other direction": "gegen dieselben Fasern in der Gegenrichtung",
  "a pair of pigtail splices": "zwei Spleiße von Anschlussfasern", "one connection": "eine Verbindung",
  "dirty end face": "verschmutzte Endfläche", "plug not home, or worn adapter": "Stecker nicht eingerastet oder Kupplung verschlissen", "poor splice or broken pigtail": "schlechter Spleiß oder gebrochene Anschlussfaser", "strand of another make": "Faser anderer Herkunft",
  "tight bend at panel or tray": "enger Bogen an Feld oder Kassette", "bend or stress in a closure": "Biegung oder Zug in einer Muffe", "core sizes or mode fields mixed": "Kerndurchmesser oder Modenfelder gemischt", "dirty end at one side": "verschmutztes Ende auf einer Seite", "core sizes mixed inside a splice": "Kerndurchmesser in einem Spleiß gemischt",
  "dirty or half-seated cord at the reference": "verschmutzte oder halb gesteckte Leitung bei der Referenz", "worn or damaged test cord": "verschlissene oder beschädigte Messleitung", "more or fewer cords than stated": "mehr oder weniger Leitungen als angegeben",
  "cord moved or damaged": "Leitung bewegt oder beschädigt", "source drifting: battery, temperature": "Quelle driftet: Batterie, Temperatur", "dirt brought in by one cord or panel": "Schmutz von einer Leitung oder einem Feld", "the part itself": "das Teil selbst",
  "Light may be on and is invisible: treat every port as live until it is measured dark, and never look into it.": "Licht kann eingeschaltet sein und ist unsichtbar: Jeden Anschluss als aktiv behandeln, bis er dunkel gemessen ist, und nie hineinsehen.",
  "Bare fibre breaks into shards: wear glasses, collect every piece.": "Blanke Faser bricht zu Splittern: Schutzbrille tragen, jedes Stück einsammeln.",
};
/** German for the service's fixed words; those it has no German for, such as names, stay. */
export function germanOf(english: string): string {
  const whole = german[english];
  if (whole) return whole;
  return english.replace(/^A to B at (.+) nm, dB$/, "A nach B bei $1 nm, dB").replace(/^B to A at (.+) nm, dB$/, "B nach A bei $1 nm, dB").replace(/^reading at (.+) nm$/, "Messwert bei $1 nm");
}
