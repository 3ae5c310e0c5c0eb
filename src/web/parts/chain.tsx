import { Link } from 'wouter';
import type { Because, FactOut, KnockOutOut, Observation } from '../../../shared/index.ts';
import { questionsOfComponent } from '../data/questions.ts';
import { hundredths } from '../format.ts';
import type { PartProps } from '../pages/component.tsx';
import { words } from '../words.ts';
import { Basis } from './basis.tsx';
import { Chip } from './chip.tsx';
import { chipOf } from './chip-of.ts';
import { BarredMark, Mark } from './mark.tsx';
import { vars } from './range.tsx';

const w = words.component;

/** The verdict as a short chain: what was seen, the knock-outs, the reasons, the odds. Each step opens down to its rule. */
export function Chain(props: PartProps) {
  const { out, kind, score } = props;
  const { verdict } = out;
  const clear = out.knockOuts.filter((knockOut) => knockOut.state === 'clear').length;
  const told = out.knockOuts.filter((knockOut) => knockOut.state !== 'clear');
  const rules = new Set(told.map((knockOut) => knockOut.rule));
  const steps = verdict.because.filter((step) => !rules.has(step.rule));
  return (
    <section className="sheet pad o1">
      <div className="head spaced">
        <h2>{w.howItCame}</h2>
        <span className="note">{w.made(score!.rubricVersion.slice(0, 12), score!.seed)}</span>
      </div>
      <ol className="chain">
        <Changes {...props} />
        {out.knockOuts.length > 0 ? (
          <li>
            <span className="nd">
              <Chip
                state={
                  clear === out.knockOuts.length
                    ? {
                        type: 'text',
                        text: `${clear} / ${out.knockOuts.length}`,
                        spoken: w.koClear(clear, out.knockOuts.length),
                      }
                    : {
                        type: 'text',
                        text: `${clear} / ${out.knockOuts.length}`,
                        spoken: w.koClear(clear, out.knockOuts.length),
                      }
                }
              />
            </span>
            <div>
              <p>
                <b>{w.koClear(clear, out.knockOuts.length)}</b>
              </p>
              {told.map((knockOut) => (
                <KnockOutStep key={knockOut.rule} knockOut={knockOut} kind={kind.id} />
              ))}
            </div>
          </li>
        ) : null}
        {steps.map((step) => (
          <Step
            key={`${step.rule} ${step.text}`}
            step={step}
            kind={kind.id}
            node={<StepNode step={step} out={props} />}
          />
        ))}
        <li>
          <span className="nd">
            <Mark action={verdict.action} firmness={verdict.firmness} />
          </span>
          <div>
            <p>
              <b>{w.oddsText}</b>
            </p>
            <Odds {...props} />
          </div>
        </li>
      </ol>
    </section>
  );
}

function Odds({ out }: PartProps) {
  const { odds } = out.verdict;
  const shares = (
    [
      ['reuse', 'r'],
      ['refinish', 'f'],
      ['replace', 'x'],
    ] as const
  ).filter(([action]) => hundredths(odds[action]) > 0);
  return (
    <>
      <div
        className="odds"
        role="img"
        aria-label={w.oddsTitle(hundredths(odds.reuse), hundredths(odds.refinish), hundredths(odds.replace))}
      >
        {shares.map(([action, filling]) => (
          <i key={action} className={filling} style={vars({ width: `${100 * odds[action]}%` })} />
        ))}
      </div>
      <p className="small quiet spread">
        {shares.map(([action]) => (
          <span key={action}>
            {words.action[action]} {hundredths(odds[action])}
          </span>
        ))}
      </p>
    </>
  );
}

/** A check whose answer got worse from one stage to the next, or on which graders differ. */
function Changes({ out, kind, assessment }: PartProps) {
  const record = assessment!.components.find((c) => c.id === out.id);
  if (!record) return null;
  const questions = new Map(questionsOfComponent(record, kind).map((question) => [question.check.id, question]));
  return out.facts
    .filter((fact) => fact.notes.length > 0)
    .slice(0, 4)
    .map((fact) => {
      const question = questions.get(fact.check);
      const last: Observation | undefined = question?.history.at(-1);
      return (
        <li key={fact.check}>
          <span className="nd">
            {last && question ? (
              <Chip state={chipOf(last, question.check, isWorse(fact))} />
            ) : (
              <Chip state={{ type: 'none' }} />
            )}
          </span>
          <div>
            <p>
              <b>{question?.check.ask}</b> {fact.notes.map((note) => `${note}.`).join(' ')}
            </p>
            <p className="src">
              <span>{w.rule(`${kind.id}.${fact.check}`)}</span>
              {last?.grader ? <span>{last.grader}</span> : null}
              {last ? <span className="basis">{words.method[last.method ?? question!.check.method]}</span> : null}
            </p>
          </div>
        </li>
      );
    });
}

function isWorse(fact: FactOut): boolean {
  return fact.notes.some((note) => /looked|worse/i.test(note));
}

function KnockOutStep({ knockOut, kind }: { knockOut: KnockOutOut; kind: string }) {
  return (
    <details className="ko1">
      <summary>
        {words.component.knockOutState[knockOut.state]}: {knockOut.text}
      </summary>
      <p className="src">
        <span>{w.rule(knockOut.rule)}</span>
        <span>{words.rubric.bars[knockOut.bars as 'reuse'] ?? knockOut.bars}</span>
        <Basis basis={knockOut.basis} source={knockOut.source} />
        <Link href={`/rubric/${kind}`}>{w.readRule}</Link>
      </p>
    </details>
  );
}

function StepNode({ step, out: { out } }: { step: Because; out: PartProps }) {
  const refused = (['reuse', 'refinish', 'replace'] as const).find(
    (action) => step.rule.includes('limit') && action === 'reuse',
  );
  if (refused) return <BarredMark action={refused} />;
  return <Mark action={out.verdict.action} firmness={out.verdict.firmness} quiet />;
}

function Step({ step, kind, node }: { step: Because; kind: string; node: React.ReactNode }) {
  return (
    <li>
      <span className="nd">{node}</span>
      <div>
        <p>{step.text}</p>
        <p className="src">
          <span>{w.rule(step.rule)}</span>
          <Basis basis={step.basis} source={step.source} />
          {step.rule.startsWith('method.') ? null : <Link href={`/rubric/${kind}`}>{w.readRule}</Link>}
        </p>
      </div>
    </li>
  );
}
