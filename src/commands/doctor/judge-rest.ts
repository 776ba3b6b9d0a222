import { notFound, type Trial, type Verdict } from './verdict.js';

/** A broker that could be reached. */
export interface FoundBroker {
  /** Its address without user and password. */
  readonly address: string;
  /** Whether it is one of our own, opened for this machine alone. */
  readonly own: boolean;
}

/** The broker that a band meets at. One that was named must work; otherwise it is not needed. */
export function judgeBroker(trial: Trial<FoundBroker>, isNamed: boolean): Verdict {
  const base = { name: 'broker', needed: isNamed ? 'machine' : 'no' } as const;
  if (trial.kind !== 'found')
    return notFound(
      base,
      trial,
      'the broker',
      isNamed ? 'check the address in BARKLINE_BROKER' : 'name a broker with BARKLINE_BROKER',
    );
  const { address, own } = trial.found;
  return {
    ...base,
    state: 'works',
    says: own
      ? `one of our own opens (${address}, for this machine alone, closed again)`
      : `${address} answers, as BARKLINE_BROKER names it`,
    todo: null,
    found: { address, own },
  };
}

/** Whether bands can be found on the local network. `hosts`: its addresses on which the question went out. */
export function judgeDiscovery(trial: Trial<{ readonly heard: boolean }>): Verdict {
  const base = { name: 'discovery', needed: 'no' } as const;
  const instead = 'give the leader’s address instead, as in barkline join mqtt://HOST:PORT';
  if (trial.kind !== 'found') return notFound(base, trial, 'the local network', instead);
  const { heard } = trial.found;
  return heard
    ? {
        ...base,
        state: 'works',
        says: 'a question by multicast (mDNS) goes out and is heard again',
        todo: null,
        found: { heard },
      }
    : {
        ...base,
        state: 'fails',
        says: 'a question by multicast (mDNS) was sent and not heard again',
        todo: `check that no firewall blocks UDP port 5353, or ${instead}`,
        found: { heard },
      };
}

/** What runs: said last, since it works wherever it can be asked. */
export function judgeProgram(found: {
  readonly version: string;
  readonly node: string;
  readonly platform: string;
  readonly folder: string;
}): Verdict {
  const { version, node, platform, folder } = found;
  return {
    name: 'program',
    state: 'works',
    needed: 'machine',
    says: `barkline ${version} in ${folder}, on Node ${node}, ${platform}`,
    todo: null,
    found,
  };
}
