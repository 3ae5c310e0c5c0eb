import { useRef, useState } from 'react';
import type { Stage } from '../../../shared/index.ts';
import { keepPhoto, takePhoto } from '../data/take-photos.ts';
import { words } from '../words.ts';
import { Icon } from './mark.tsx';

interface AddPhotosProps {
  assessment: string;
  label: string;
  component?: string | undefined;
  check?: string | undefined;
  stage?: Stage | undefined;
  isMain?: boolean;
}

/** Takes in any number of photos: kept on the device at once, then sent a few at a time. */
export function AddPhotos({ assessment, label, component, check, stage, isMain = false }: AddPhotosProps) {
  const input = useRef<HTMLInputElement>(null);
  const [said, setSaid] = useState('');
  const take = async (files: readonly File[]) => {
    const about = {
      assessment,
      ...(component ? { component } : {}),
      ...(check ? { check } : {}),
      ...(stage ? { stage } : {}),
    };
    setSaid(words.photos.taking(files.length));
    if (files.length === 1) return setSaid(await takePhoto({ ...about, file: files[0]! }));
    // Of many at once the server says which are fit: looking at each here first would hold the page up.
    for (const file of files) await keepPhoto({ ...about, file });
    setSaid('');
  };
  return (
    <>
      <button type="button" className={`btn glove${isMain ? ' main' : ''}`} onClick={() => input.current?.click()}>
        <Icon name="i-photo" />
        {label}
      </button>
      <input
        ref={input}
        className="vh"
        type="file"
        multiple
        accept="image/*,.heic,.heif"
        tabIndex={-1}
        aria-label={label}
        onChange={(event) => {
          const files = [...(event.target.files ?? [])];
          event.target.value = '';
          if (files.length > 0) void take(files);
        }}
      />
      <span className="small" role="status">
        {said}
      </span>
    </>
  );
}
