import { useEffect, useState } from 'react';
import type { Device, Me, Pairing, Role } from '../../../shared/api.ts';
import { call, sayTrouble } from '../data/client.ts';
import { queries, useDevices, useMe } from '../data/queries.ts';
import { day } from '../format.ts';
import { useKeeping } from '../offline/register.ts';
import { DeviceName } from '../parts/device-name.tsx';
import { Segments } from '../parts/field.tsx';
import { Frame } from '../parts/frame.tsx';
import { Empty, Trouble, Waiting } from '../parts/notices.tsx';
import { vars } from '../parts/range.tsx';
import { words } from '../words.ts';

const w = words.share;

/** Pairing, who is on it, and what the connection means, in words. */
export function SharePage() {
  const me = useMe();
  return (
    <Frame title={w.title}>
      <div className="title ttl2">
        <div>
          <h1>{w.title}</h1>
          <p className="quiet small">{me.data?.shared ? w.on : w.off}</p>
        </div>
      </div>
      {me.data ? (
        <>
          {me.data.shared ? (
            <div className="two pairw">
              {me.data.role === 'own' ? <NextDevice /> : <p className="sheet pad">{w.notAllowed}</p>}
              <Devices me={me.data} />
            </div>
          ) : (
            <Empty title={w.offTitle} text={w.offText}>
              <p>
                <code>{w.command}</code>
              </p>
            </Empty>
          )}
          {me.data.role === null ? null : <DeviceName name={me.data.name} />}
          <Wire me={me.data} />
        </>
      ) : me.error ? (
        <Trouble title={words.offline.title} text={sayTrouble(me.error)} onRetry={() => void me.refetch()} />
      ) : (
        <Waiting what={words.state.loading} />
      )}
    </Frame>
  );
}

function NextDevice() {
  const [role, setRole] = useState<Role>('grade');
  const [pairing, setPairing] = useState<Pairing | null>(null);
  const [said, setSaid] = useState('');
  const make = async (next: Role) => {
    setRole(next);
    try {
      setPairing(await call('newPairing', { json: { role: next } }));
      setSaid('');
    } catch (error) {
      setPairing(null);
      setSaid(sayTrouble(error));
    }
  };
  return (
    <section className={`sheet pad pairq${pairing ? '' : ' bare1'}`}>
      {pairing ? (
        <img className="qr" alt={w.qr} src={`data:image/svg+xml;utf8,${encodeURIComponent(pairing.qr)}`} />
      ) : null}
      <div className="pq-t">
        {pairing ? (
          <>
            <p className="small quiet">{w.point}</p>
            <p className="lnk">
              {pairing.link.replace(/^https?:\/\//, '').split('#')[0]}
              <br />
              <b>{pairing.token}</b>
            </p>
            <TimeLeft until={pairing.expiresAt} />
          </>
        ) : null}
        <p className="small quiet below8">{w.role}</p>
        <Segments
          label={w.role}
          value={role}
          options={(['read', 'grade', 'own'] as const).map((key) => [key, w.roles[key]] as const)}
          onPick={(next) => (pairing ? void make(next) : setRole(next))}
        />
        <p className="small quiet">{w.roleText[role]}</p>
        <div className="btnrow">
          <button type="button" className={`btn${pairing ? '' : ' main'}`} onClick={() => void make(role)}>
            {w.newCode}
          </button>
          {pairing ? (
            <button
              type="button"
              className="btn"
              onClick={() =>
                void navigator.clipboard
                  ?.writeText(pairing.link)
                  .then(() => setSaid(w.copied))
                  .catch(() => setSaid(pairing.link))
              }
            >
              {w.copy}
            </button>
          ) : null}
        </div>
        <p className="small" role="status">
          {said}
        </p>
      </div>
    </section>
  );
}

const FIVE_MINUTES = 300;

function TimeLeft({ until }: { until: string }) {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), 1000);
    return () => clearInterval(timer);
  }, []);
  const left = Math.max(0, Math.round((Date.parse(until) - now) / 1000));
  const text = left >= 60 ? `${Math.floor(left / 60)} min ${left % 60} s` : `${left} s`;
  return (
    <div className="left5">
      <span className="prog" aria-hidden="true">
        <i style={vars({ width: `${Math.min(100, (100 * left) / FIVE_MINUTES)}%` })} />
      </span>
      <span className="small num">{left === 0 ? w.gone : w.left(text)}</span>
    </div>
  );
}

function Devices({ me }: { me: Me }) {
  const devices = useDevices(me.role === 'own');
  const [said, setSaid] = useState('');
  const revoke = async (device: Device) => {
    try {
      await call('revokeDevice', { params: { device: device.id } });
      await queries.invalidateQueries({ queryKey: ['devices'] });
    } catch (error) {
      setSaid(sayTrouble(error));
    }
  };
  const list = devices.data ?? [];
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.who}</h2>
        <span className="note">{w.devices(list.length + (me.device === null ? 1 : 0))}</span>
      </div>
      <ul className="dev">
        {me.device === null ? (
          <li>
            <span>
              <b>{me.name}</b>
              <span className="small quiet">{w.here}</span>
            </span>
            <span className="small role">{me.role ? w.roles[me.role] : ''}</span>
            <span />
          </li>
        ) : null}
        {list.map((device) => (
          <li key={device.id}>
            <span>
              <b>{device.name}</b>
              <span className="small quiet">
                {device.self ? w.here : device.here ? w.now : w.lastSeen(day(device.lastSeenAt))}
              </span>
            </span>
            <span className="small role">{w.roles[device.role]}</span>
            <button
              type="button"
              className="btn"
              aria-label={w.revokeWho(device.name)}
              onClick={() => void revoke(device)}
            >
              {w.revoke}
            </button>
          </li>
        ))}
      </ul>
      <p className="small" role="status">
        {said}
      </p>
    </section>
  );
}

function Wire({ me }: { me: Me }) {
  const isTls = me.transport === 'https';
  const keeping = useKeeping();
  return (
    <section className="sheet pad http below">
      <div className="head">
        <h2>{me.transport === 'loopback' ? w.loopback : isTls ? w.tls : w.http}</h2>
        {isTls || me.transport === 'loopback' ? null : <span className="note">{w.httpNote}</span>}
      </div>
      <div>
        {me.words.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
        {keeping === 'asking' ? null : <p>{w.keeping[keeping]}</p>}
        {me.fingerprint ? (
          <p className="small">
            {w.fingerprint}: <code className="finger">{me.fingerprint}</code>
          </p>
        ) : null}
      </div>
      <div className="cmp2">
        <div>
          <h3>{w.httpNow}</h3>
          <ul>
            {w.httpList.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </div>
        <div>
          <h3>{w.withTls}</h3>
          <ul>
            {w.tlsList.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </div>
      </div>
      <p className="small">
        <b>{w.unknown}</b>
      </p>
    </section>
  );
}
