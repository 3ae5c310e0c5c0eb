import '@fontsource-variable/archivo/wdth.css';
import './look/look.css';
import './look/page.css';
import './look/touch.css';
import './look/print.css';
import { QueryClientProvider } from '@tanstack/react-query';
import { createRoot } from 'react-dom/client';
import { App } from './app.tsx';
import './data/pairing-code.ts';
import { queries } from './data/queries.ts';
import { sender } from './data/send.ts';
import { startEarly } from './data/start-early.ts';
import { outbox } from './data/use-outbox.ts';
import { registerOffline } from './offline/register.ts';
import { openForPrint } from './print.ts';

startEarly(location.pathname);
void outbox.start(sender(queries));
registerOffline();
openForPrint();

createRoot(document.getElementById('root')!).render(
  <QueryClientProvider client={queries}>
    <App />
  </QueryClientProvider>,
);
