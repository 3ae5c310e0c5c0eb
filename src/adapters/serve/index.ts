export { type Certificate, takeOrMakeCertificate } from './certificate.ts';
export { type Judges, openJudges } from './judges.ts';
export { type Listening, listen, remoteAddress } from './listen.ts';
export { loadPage } from './load-page.ts';
export { networkAddresses, networkNames } from './network.ts';
export { pack } from './pack.ts';
export { servePhotos } from './serve-photos.ts';
export { verdictFiles } from './verdict-files.ts';
