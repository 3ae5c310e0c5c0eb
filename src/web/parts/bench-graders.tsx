import { memo } from 'react';
import { Link } from 'wouter';
import type { Assessment, Rubric } from '../../../shared/index.ts';
import { anchorOf, differences } from '../data/graders.ts';
import { words } from '../words.ts';
import { apartWords, Scale } from './graders.tsx';

const w = words.graders;

/** Checks on which two people differ, each a way to both their answers. Nothing when all agree. Sliders leave it as it is. */
export const BenchGraders = memo(function BenchGraders({
  assessment,
  rubric,
}: {
  assessment: Assessment;
  rubric: Rubric;
}) {
  const all = differences(assessment, rubric);
  if (all.length === 0) return null;
  return (
    <section className="sheet pad differ">
      <div className="head">
        <h2>{w.benchTitle}</h2>
        <span className="note">{w.benchCount(all.length)}</span>
      </div>
      <p className="small quiet">{w.benchText}</p>
      <ul className="twice">
        {all.map((twice) => {
          const { component, check } = twice.question;
          return (
            <li key={`${component.id} ${anchorOf(twice)}`}>
              <p>
                <Link href={`/a/${assessment.id}/c/${component.id}#${anchorOf(twice)}`}>
                  {w.open(component.name, check.ask)}
                </Link>{' '}
                <span className="small quiet">
                  {words.stageLong[twice.stage]}. {w.apart(apartWords(twice))}
                </span>
              </p>
              <Scale twice={twice} />
            </li>
          );
        })}
      </ul>
    </section>
  );
});
