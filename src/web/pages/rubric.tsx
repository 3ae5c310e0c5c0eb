import { useState } from 'react';
import { Link } from 'wouter';
import { useRubric } from '../data/queries.ts';
import { duration } from '../format.ts';
import { Field } from '../parts/field.tsx';
import { Frame } from '../parts/frame.tsx';
import { Pin } from '../parts/mark.tsx';
import { Trouble, Waiting } from '../parts/notices.tsx';
import { words } from '../words.ts';

const w = words.rubric;

/** All kinds, to read and argue with. */
export function RubricPage() {
  const rubric = useRubric();
  const [search, setSearch] = useState('');
  const kinds = (rubric.data?.kinds ?? [])
    .filter((kind) => `${kind.name} ${kind.about}`.toLowerCase().includes(search.trim().toLowerCase()))
    .sort((a, b) => a.name.localeCompare(b.name));
  return (
    <Frame title={w.title} section="rubric">
      <div className="title ttl2">
        <div>
          <h1>{w.title}</h1>
          <p className="quiet small">
            {rubric.data ? w.version(rubric.data.version.slice(0, 12), rubric.data.kinds.length) : ''}
          </p>
        </div>
      </div>
      {rubric.data ? (
        <>
          <p className="lede">{w.intro}</p>
          <div className="findkind">
            <Field label={w.find} type="search" value={search} onChange={(event) => setSearch(event.target.value)} />
          </div>
          <ul className="sheet kindlist">
            {kinds.map((kind) => (
              <li key={kind.id}>
                <Link href={`/rubric/${kind.id}`}>
                  <span>
                    <b>{kind.name}</b> {kind.safetyCritical ? <Pin /> : null}
                    <span className="small quiet">{kind.about}</span>
                  </span>
                  <span className="small quiet num">
                    {w.short(
                      kind.checks.length,
                      kind.knockOuts.length,
                      duration(kind.checks.reduce((sum, check) => sum + check.minutes, 0)),
                    )}
                  </span>
                </Link>
              </li>
            ))}
          </ul>
          {kinds.length === 0 ? <p>{words.bench.noneFound(search)}</p> : null}
        </>
      ) : rubric.error ? (
        <Trouble {...words.offline} onRetry={() => void rubric.refetch()} />
      ) : (
        <Waiting what={words.state.loading} />
      )}
    </Frame>
  );
}
