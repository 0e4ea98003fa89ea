/** What the screens of recorders say in French, by the English sentence; a file for each part of the app. */
import frame from './frame';
import entry from './entry';
import field from './field';
import parts from './parts';
import record from './record';
import daybook from './daybook';
import advice from './advice';

export default { ...frame, ...entry, ...field, ...parts, ...record, ...daybook, ...advice } as Record<string, string>;
