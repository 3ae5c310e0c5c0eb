import { Component, lazy, type ReactNode, Suspense, useEffect } from 'react';
import { Route, Switch, useLocation } from 'wouter';
import { listen } from './data/live.ts';
import { useMe } from './data/queries.ts';
import { setGrader } from './data/settings.ts';
import { AssessmentsPage } from './pages/assessments.tsx';
import { NotFoundPage } from './pages/not-found.tsx';
import { Frame } from './parts/frame.tsx';
import { Trouble, Waiting } from './parts/notices.tsx';
import { words } from './words.ts';

const BenchPage = lazy(() => import('./pages/bench.tsx').then((m) => ({ default: m.BenchPage })));
const RoundPage = lazy(() => import('./pages/round.tsx').then((m) => ({ default: m.RoundPage })));
const ComponentPage = lazy(() => import('./pages/component.tsx').then((m) => ({ default: m.ComponentPage })));
const PhotosPage = lazy(() => import('./pages/photos.tsx').then((m) => ({ default: m.PhotosPage })));
const PlanPage = lazy(() => import('./pages/plan.tsx').then((m) => ({ default: m.PlanPage })));
const RubricPage = lazy(() => import('./pages/rubric.tsx').then((m) => ({ default: m.RubricPage })));
const KindPage = lazy(() => import('./pages/kind.tsx').then((m) => ({ default: m.KindPage })));
const SharePage = lazy(() => import('./pages/share.tsx').then((m) => ({ default: m.SharePage })));
const PairPage = lazy(() => import('./pages/pair.tsx').then((m) => ({ default: m.PairPage })));

/** Every page and its address. Each survives a reload. */
export function App() {
  const me = useMe().data;
  const isIn = me?.role != null;
  // The name of the device is the author of what is answered on it, also once the network is down.
  useEffect(() => {
    if (me && me.role !== null && me.name !== '') setGrader(me.name);
  }, [me]);
  useEffect(() => (isIn ? listen() : undefined), [isIn]);
  useTopOnNewPage();
  return (
    <Safe>
      <Suspense
        fallback={
          <Frame title={words.brand}>
            <Waiting what={words.state.loading} />
          </Frame>
        }
      >
        <Switch>
          <Route path="/">
            <AssessmentsPage />
          </Route>
          <Route path="/a/:id">{({ id }) => <BenchPage key={id} id={id} />}</Route>
          <Route path="/a/:id/round">{({ id }) => <RoundPage key={id} id={id} />}</Route>
          <Route path="/a/:id/c/:component">
            {({ id, component }) => <ComponentPage key={`${id} ${component}`} id={id} component={component} />}
          </Route>
          <Route path="/a/:id/photos">{({ id }) => <PhotosPage key={id} id={id} />}</Route>
          <Route path="/a/:id/plan/:sheet?">{({ id, sheet }) => <PlanPage key={id} id={id} sheet={sheet} />}</Route>
          <Route path="/rubric">
            <RubricPage />
          </Route>
          <Route path="/rubric/:kind">{({ kind }) => <KindPage key={kind} kind={kind} />}</Route>
          <Route path="/share">
            <SharePage />
          </Route>
          <Route path="/pair">
            <PairPage />
          </Route>
          <Route>
            <NotFoundPage />
          </Route>
        </Switch>
      </Suspense>
    </Safe>
  );
}

/** A new page starts at its top, or brings up the place that its address names, with the focus there for a screen reader; going back keeps the browser's own place. */
function useTopOnNewPage(): void {
  const [path] = useLocation();
  useEffect(() => {
    const { state } = history as { state: unknown };
    if (path && state === null && location.hash === '') scrollTo(0, 0);
  }, [path]);
}

/** A page that fails to draw says so and loses nothing. */
class Safe extends Component<{ children: ReactNode }, { hasFailed: boolean }> {
  override state = { hasFailed: false };
  static getDerivedStateFromError() {
    return { hasFailed: true };
  }
  override render() {
    if (!this.state.hasFailed) return this.props.children;
    return (
      <Frame title={words.brand}>
        <Trouble {...words.broken} onRetry={() => location.reload()} />
      </Frame>
    );
  }
}
