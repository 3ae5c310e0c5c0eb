import type { Said } from '../../../shared/strip.ts';
import { Basis } from './basis.tsx';

/** A sentence with what it stands on. */
export function SaidLine({ said, lead }: { said: Said; lead?: string }) {
  return (
    <>
      {lead ? <b>{lead}: </b> : null}
      {said.text}{' '}
      <span className="basisline small">
        <Basis basis={said.basis} source={said.source} />
      </span>
    </>
  );
}

/** Sentences one below the other. */
export function SaidList({ of, lead }: { of: readonly Said[]; lead?: string }) {
  return (
    <ul className="plain">
      {of.map((said) => (
        <li key={`${said.rule} ${said.text}`}>
          <SaidLine said={said} {...(lead ? { lead } : {})} />
        </li>
      ))}
    </ul>
  );
}
