import { safeText } from '../base/safe-text.js';
import type { PlayerClient } from '../player/client.js';
import type { LatenessReport } from '../player/messages.js';
import type { Arranger } from './arranger.js';
import type { BandMeeting } from './band-meeting.js';
import type { ItemReader } from './item-reader.js';
import type { JobControl } from './job-control.js';
import type { Listener } from './listener.js';
import type { Perform } from './runtime.js';
import type { Message } from './state/messages.js';
import type { Surroundings } from './surroundings.js';

/** What effects are performed with. */
export interface Rim {
  readonly player: PlayerClient;
  readonly reader: ItemReader;
  readonly arranger: Pick<Arranger, 'ask'>;
  readonly listener: Pick<Listener, 'listen' | 'tune'>;
  readonly meeting: Pick<BandMeeting, 'open' | 'publish' | 'subscribe' | 'setLeads' | 'turnAway' | 'close'>;
  readonly jobs: Pick<JobControl, 'suspend'>;
  readonly surroundings: Surroundings;
  readonly dispatch: (message: Message) => void;
  readonly finish: (status: number) => void;
}

/** Does what updates ask for. */
export function performer({
  player,
  reader,
  arranger,
  listener,
  meeting,
  jobs,
  surroundings,
  dispatch,
  finish,
}: Rim): Perform {
  // After the update that asked for it, which must be finished first.
  const later = (answer: () => Message): void => void setImmediate(() => dispatch(answer()));
  const noticed = (reason: string | null): void => {
    if (reason !== null) later(() => ({ kind: 'not-written', reason: safeText(reason) }));
  };
  return (effect) => {
    switch (effect.kind) {
      case 'open':
        return later(() => surroundings.open(effect.file, effect.wishes, effect.from));
      case 'arrange':
        return arranger.ask(effect);
      case 'append':
        return player.append(effect.segments);
      case 'replace':
        return player.replace(effect.tick, effect.segments);
      case 'tell':
        // Where pedals are heard is set by whoever opened the program; learning only needs them to be heard at all.
        if (effect.message.kind === 'pedals') return player.hearPedals(surroundings.pedalsFrom ?? 'all');
        return player.send(effect.message);
      case 'open-output':
        return player.open(effect.outs.map(surroundings.setting));
      case 'listen':
        return listener.listen(effect.on);
      case 'hear-courses':
        return listener.tune(effect.courses);
      case 'levels':
        return player.setLevels(effect.levels, effect.gear);
      case 'remember-output':
        return surroundings.rememberOutput(effect.out);
      case 'keep':
        surroundings.keep(effect.file, effect.choices, effect.played);
        if (effect.played) later(() => ({ kind: 'chart-played', file: effect.file, played: Date.now() }));
        return;
      case 'write':
        return later(() => surroundings.write(effect.file, effect.text, effect.before));
      case 'write-new':
        return later(() => surroundings.writeNew(effect.title, effect.text));
      case 'record':
        return noticed(surroundings.record(effect.record, effect.result));
      case 'mark-later':
        return noticed(surroundings.record(effect.record, 'unmarked'));
      case 'keep-run':
        return noticed(surroundings.keepRun(effect.file, effect.run));
      case 'keep-transcript':
        return noticed(surroundings.keepTranscript(effect.name, effect.transcript));
      case 'write-copy':
        return later(() => surroundings.writeCopy(effect.of, effect.name, effect.text));
      case 'read-items':
        return reader.ask(effect.files);
      case 'find-weak':
        return later(() => ({ kind: 'weak-songs', weak: surroundings.weakSongs() }));
      case 'keep-order':
        return surroundings.keepOrder(effect.order);
      case 'list-requests':
        return later(() => surroundings.requests());
      case 'find-request':
        return later(() => surroundings.request(effect.file, effect.id));
      case 'keep-hints':
        return surroundings.keepHints(effect.left);
      case 'keep-pedals':
        return surroundings.keepPedals(effect.pedals);
      case 'meet':
        return meeting.open(effect.begins);
      case 'band-publish':
        return meeting.publish(effect.publishes);
      case 'band-subscribe':
        return meeting.subscribe(effect.topics);
      case 'band-leads':
        return meeting.setLeads(effect.leads);
      case 'turn-away':
        return meeting.turnAway(effect.id);
      case 'leave-band':
        return void meeting.close();
      case 'suspend':
        return void jobs.suspend();
      case 'leave':
        return finish(0);
    }
  };
}

/** Asks the player how late it was; one that does not answer soon is not waited for. */
export function askLateness(
  player: PlayerClient,
  listen: (take: (report: LatenessReport) => void) => void,
): Promise<LatenessReport | null> {
  return new Promise((resolve) => {
    const giveUp = setTimeout(() => resolve(null), 500);
    listen((report) => {
      clearTimeout(giveUp);
      resolve(report);
    });
    player.send({ kind: 'lateness' });
  });
}
