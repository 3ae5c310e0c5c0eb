import { type ReactNode, useEffect } from 'react';
import { Link } from 'wouter';
import { lastAssessment, rememberAssessment } from '../data/settings.ts';
import { useConnection, useWaiting } from '../data/use-outbox.ts';
import { words } from '../words.ts';
import { Icon, Mark } from './mark.tsx';
import { RefusedList } from './refused.tsx';

export type Section = 'bench' | 'round' | 'photos' | 'plan' | 'rubric';

const SECTIONS: readonly { id: Section; icon: string; path: (id: string) => string }[] = [
  { id: 'bench', icon: 'i-bench', path: (id) => `/a/${id}` },
  { id: 'round', icon: 'i-round', path: (id) => `/a/${id}/round` },
  { id: 'photos', icon: 'i-wall', path: (id) => `/a/${id}/photos` },
  { id: 'plan', icon: 'i-plan', path: (id) => `/a/${id}/plan` },
  { id: 'rubric', icon: 'i-rubric', path: () => '/rubric' },
];

interface FrameProps {
  title: string;
  /** Assessment the navigation leads about in; none on the list. */
  assessment?: string | undefined;
  section?: Section;
  className?: string;
  children: ReactNode;
}

/** Top band, main navigation (below on the phone) and the page between them. */
export function Frame({ title, assessment: given, section, className = '', children }: FrameProps) {
  useTitle(title);
  const assessment = given ?? (section === 'rubric' ? lastAssessment() : undefined);
  useEffect(() => {
    if (given !== undefined) rememberAssessment(given);
  }, [given]);
  return (
    <div className={className}>
      <a className="skip" href="#main">
        {words.skip}
      </a>
      <header className="oxide top">
        <Link className="brand" href="/">
          <Mark action="refinish" firmness="settled" quiet />
          {words.brand}
        </Link>
        <nav aria-label={words.nav.main}>
          {assessment === undefined ? null : <Links assessment={assessment} section={section} />}
        </nav>
        <State />
      </header>
      <main className="wrap" id="main" tabIndex={-1}>
        <RefusedList />
        {children}
      </main>
      {assessment === undefined ? null : (
        <nav className="oxide tabs" aria-label={`${words.nav.main}, 2`}>
          <Links assessment={assessment} section={section} withIcons />
        </nav>
      )}
    </div>
  );
}

function Links({
  assessment,
  section,
  withIcons = false,
}: {
  assessment: string;
  section: Section | undefined;
  withIcons?: boolean;
}) {
  return SECTIONS.map(({ id, icon, path }) => (
    <Link key={id} href={path(assessment)} aria-current={id === section ? 'page' : undefined}>
      {withIcons ? <Icon name={icon} /> : null}
      <span>{words.nav[id]}</span>
    </Link>
  ));
}

function State() {
  const { isOnline } = useConnection();
  const waiting = useWaiting();
  const refused = waiting.filter((item) => item.refused !== undefined).length;
  const open = waiting.length - refused;
  return (
    <span className="state">
      <span role="status">
        {open > 0 || !isOnline ? (
          <span className="badge wait" title={isOnline ? undefined : words.state.noNetLong}>
            <Icon name={isOnline ? 'i-waiting' : 'i-nonet'} />
            {open > 0 ? words.state.waiting(open) : words.state.noNet}
          </span>
        ) : (
          <span className="savedline">
            <Icon name="i-saved" />
            {words.state.saved}
          </span>
        )}
      </span>
      {refused > 0 ? <span className="badge">{words.state.refused(refused)}</span> : null}
      <Link className="toshare" href="/share" aria-label={words.state.share}>
        <Icon name="i-share" />
      </Link>
    </span>
  );
}

/** Title of the document; on a change of page the focus goes to the top of the new one. */
export function useTitle(title: string): void {
  useEffect(() => {
    document.title = title === words.brand ? title : `${title} – ${words.brand}`;
  }, [title]);
}
