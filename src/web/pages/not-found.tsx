import { Link } from 'wouter';
import { Frame } from '../parts/frame.tsx';
import { Empty } from '../parts/notices.tsx';
import { words } from '../words.ts';

export function NotFoundPage() {
  return (
    <Frame title={words.notFound.title}>
      <h1 className="vh">{words.notFound.title}</h1>
      <Empty title={words.notFound.title} text={words.notFound.text}>
        <Link className="btn glove main" href="/">
          {words.assessments.title}
        </Link>
      </Empty>
    </Frame>
  );
}
