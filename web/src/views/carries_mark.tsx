import { carriesKey, carriesShapes, type Carries } from "../model/carries";
import { said } from "../model/texts";

export function CarriesMark({ carries }: { carries: Carries }) {
  return <span class={`mark carries ${carriesKey(carries)}`}><span aria-hidden="true">{carriesShapes[carries]}</span> {said("carries", carries, carries)}</span>;
}
