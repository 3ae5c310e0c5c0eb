import { useRef } from 'react';
import type { Component } from '../../../shared/index.ts';
import { takePhoto } from '../data/take-photos.ts';
import { words } from '../words.ts';
import { Icon } from './mark.tsx';

interface PhotoButtonProps {
  assessment: string;
  component: Component;
  check?: string;
  onSaid: (text: string) => void;
}

/** Takes a photo of this part; it is kept at once, and said to be fit or not. */
export function PhotoButton({ assessment, component, check, onSaid }: PhotoButtonProps) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" className="btn glove two-l" onClick={() => input.current?.click()}>
        <Icon name="i-photo" />
        <span>{words.round.photo}</span>
      </button>
      <input
        ref={input}
        className="vh"
        type="file"
        accept="image/*,.heic,.heif"
        capture="environment"
        tabIndex={-1}
        aria-label={words.component.addPhoto}
        onChange={(event) => {
          const file = event.target.files?.[0];
          event.target.value = '';
          if (!file) return;
          onSaid(words.round.photoTaken(file.name));
          void takePhoto({
            assessment,
            file,
            component: component.id,
            stage: component.stage,
            ...(check ? { check } : {}),
          }).then((fit) => onSaid(fit));
        }}
      />
    </>
  );
}
