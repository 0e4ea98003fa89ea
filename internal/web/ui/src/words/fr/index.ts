/** What the screens of recorders say in French, by the English sentence; a file for each part of the app. */
import frame from './frame';
import entry from './entry';
import field from './field';
import parts from './parts';
import large from './large';
import record from './record';
import daybook from './daybook';
import advice from './advice';
import said from './said';
import faults from './faults';
import characters from './characters';
import states from './states';
import definitions from './definitions';
import spot from './spot';

export default { ...frame, ...entry, ...field, ...parts, ...large, ...record, ...daybook, ...advice, ...said, ...faults, ...characters, ...states, ...definitions, ...spot } as Record<string, string>;
