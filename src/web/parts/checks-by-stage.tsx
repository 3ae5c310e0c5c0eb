import { Link } from 'wouter';
import { type Component, type Observation, STAGES, type Stage } from '../../../shared/index.ts';
import { type Question, questionsOfComponent } from '../data/questions.ts';
import { useWaiting } from '../data/use-outbox.ts';
import type { PartProps } from '../pages/component.tsx';
import { words } from '../words.ts';
import { Chip } from './chip.tsx';
import { chipOf } from './chip-of.ts';

const w = words.component;

/** Every check with its answers at each stage. */
export function ChecksByStage({ out, kind, assessment, record }: PartProps & { record: Component }) {
  const questions = questionsOfComponent(record, kind);
  const waiting = new Set(useWaiting().map((item) => item.id));
  const answered = questions.filter((question) => question.answer !== null).length;
  const last = Math.max(
    ...questions.map(({ check }) => STAGES.indexOf(check.finalStage)),
    STAGES.indexOf(record.stage),
  );
  const stages = STAGES.slice(0, last + 1);
  const zones = new Map(kind.zones.map((zone, i) => [zone.id, i + 1]));
  return (
    <section className="sheet pad o6">
      <div className="head">
        <h2>{w.checks}</h2>
        <span className="note">{w.answered(answered, questions.length)}</span>
      </div>
      <table className="hist">
        <thead>
          <tr>
            <th scope="col">{w.check}</th>
            {stages.map((stage) => (
              <th key={stage} scope="col">
                {words.stage[stage]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {questions.map((question) => (
            <tr key={question.check.id}>
              <td>
                <Link
                  href={`/a/${assessment!.id}/round?check=${encodeURIComponent(`${out.id}/${question.check.id}`)}`}
                  title={w.answerCheck(question.check.ask)}
                >
                  {question.check.ask}
                </Link>{' '}
                <span className="small quiet">
                  <span className="zn small">{zones.get(question.check.zone)}</span>
                </span>
              </td>
              {stages.map((stage) => (
                <td key={stage}>
                  <Cell question={question} stage={stage} waiting={waiting} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <p className="small quiet chipkey">
        {(['ns', 'np', 'na'] as const).map((sort) => (
          <span key={sort}>
            <span className={`chip ${sort}`} aria-hidden="true" /> {w.key[sort]}
          </span>
        ))}
      </p>
    </section>
  );
}

function Cell({ question, stage, waiting }: { question: Question; stage: Stage; waiting: ReadonlySet<string> }) {
  const { history, component, check } = question;
  const at = (entry: Stage) => history.filter((observation) => (observation.stage ?? component.stage) === entry);
  const here = at(stage);
  const shown = here.filter((observation) => !observation.none).at(-1) ?? here.at(-1);
  if (!shown) return <Chip state={{ type: 'none' }} />;
  const before = STAGES.slice(0, STAGES.indexOf(stage))
    .flatMap(at)
    .filter((observation) => !observation.none)
    .at(-1);
  return <Chip state={chipOf(shown, check, isWorse(before, shown, question), waiting.has(shown.id ?? ''))} />;
}

function isWorse(before: Observation | undefined, now: Observation, { check }: Question): boolean {
  if (!before || now.none || check.answer.type !== 'grade') return false;
  return typeof before.value === 'number' && typeof now.value === 'number' && now.value > before.value;
}
