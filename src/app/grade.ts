import { gradesFromPercent, type RustGrades } from '../standards/index.ts';

/** Rust grades of a rusted area, per cent 0 to 100. */
export function gradePercent(percent: number): RustGrades {
  return gradesFromPercent(percent);
}
