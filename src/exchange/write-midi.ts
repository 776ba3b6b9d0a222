import { good } from '../base/outcome.js';
import { takeOf, tasteOf } from '../playback/setup.js';
import type { SongWriter } from './format.js';
import { midiFile, mostMidiNotes, notesInPass } from './midi-file.js';
import { arrangementOf } from './song.js';

/** A song as a Standard MIDI File, with all its passes. */
export const writeMidi: SongWriter = (song) => {
  const { setup } = song;
  const arrangement = arrangementOf(song);
  const notes = notesInPass(arrangement);
  if (notes * setup.passes > mostMidiNotes)
    return {
      ok: false,
      fault: {
        message: `${setup.passes} passes of ${notes} notes are too many for one MIDI file, which can have ${mostMidiNotes} notes`,
        instead: `take at most --passes ${Math.floor(mostMidiNotes / notes)}`,
      },
    };
  const { chart, mix } = setup;
  // A file has the whole tune, since whoever plays it may not lead where its writer does.
  const take = { ...takeOf(setup, arrangement), lead: { ...tasteOf(setup), melody: 'all' as const } };
  return good({
    content: midiFile({ chart, arrangement, take, mix }),
    lost: [],
  });
};
