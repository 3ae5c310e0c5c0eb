import { plan } from '../../planning/index.ts';
import { answerAsks } from './worker-ask.ts';

answerAsks<{ do: 'plan' }>((rubric, assessment, seed) => plan(rubric, assessment, { seed }));
