import type { ComponentOut, Rubric } from '../../../shared/index.ts';
import { optionFor } from '../data/rows.ts';
import { hundredths } from '../format.ts';
import { words } from '../words.ts';

const w = words.component;

interface RouteLineProps {
  out: ComponentOut;
  rubric: Rubric;
  currency: string;
}

/** The refinishing route as a line with gates where work stops until a look has passed. */
export function RouteLine({ out, rubric }: RouteLineProps) {
  const option = optionFor(out, 'refinish');
  const route = rubric.routes.find((entry) => entry.id === option?.route);
  if (!option || !route) return null;
  const steps = route.steps.map((step, i) => ({ step, key: `${i}` }));
  const operations = new Map(rubric.operations.map((operation) => [operation.id, operation]));
  return (
    <section className="sheet pad o4">
      <div className="head">
        <h2>{w.route}</h2>
        <span className="note">{w.routeNote}</span>
      </div>
      <ol className="route">
        {steps.map(({ step, key }) =>
          'hold' in step ? (
            <li key={key} className="gate">
              <b>{step.name}</b>
              <span className="quiet">{words.method[step.by]}</span>
              <span className="quiet">{words.stageLong[step.hold]}</span>
            </li>
          ) : (
            <li key={key} className="op">
              <span>{operations.get(step.do)?.name ?? step.do}</span>
            </li>
          ),
        )}
      </ol>
      <p className="small quiet">
        {w.stopsIn(hundredths(option.failChance))} {route.about}
      </p>
    </section>
  );
}
