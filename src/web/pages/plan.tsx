import { Link } from 'wouter';
import { useScored } from '../data/use-score.ts';
import { Frame } from '../parts/frame.tsx';
import { Empty } from '../parts/notices.tsx';
import { words } from '../words.ts';

/** The whole job. */
export function PlanPage({ id }: { id: string }) {
  const { assessment } = useScored(id);
  const title = words.plan.title(assessment?.name ?? '');
  return (
    <Frame title={title} assessment={id} section="plan">
      <div className="title">
        <h1>{title}</h1>
      </div>
      <Empty title={words.plan.none.title} text={words.plan.none.text}>
        <Link className="btn glove main" href={`/a/${id}`}>
          {words.plan.none.button}
        </Link>
      </Empty>
    </Frame>
  );
}
