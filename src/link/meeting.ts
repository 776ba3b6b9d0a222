import type { LinkEvent, Topic } from '../band/link.js';
import { hrtimeMs } from '../player/host.js';
import { addressText, type BrokerAddress, openNetworkNotice } from './address.js';
import { Carried } from './carried.js';
import { type LastWord, type OpenLink, openLink } from './client.js';
import type { FoundBand } from './discover/messages.js';
import { browseBands, type Discovery, noneFound } from './discover.js';
import { type BandKeys, bandKeys } from './keys.js';
import type { Meeting, MeetingEvent } from './meeting-types.js';
import type { Seat } from './seat.js';
import { givesWay, Targets } from './targets.js';
import { type ClaimSeen, claimSeen } from './who-leads.js';
import { makeWord, readWord } from './word.js';

/** How a stand meets its band. */
export interface MeetingOptions {
  /** The word, as it was typed; for a leader `null`: one is made. */
  readonly word: string | null;
  readonly seat: Seat;
  /** Where the broker is; `null`: this stand carries one, where it leads, or looks for one on the network. */
  readonly address: BrokerAddress | null;
  /** The port of the broker that it carries; `null`: the usual one, or any that is free. */
  readonly port: number | null;
  /** The only authorities to trust with TLS (PEM). */
  readonly ca: Uint8Array | null;
  readonly begins: 'lead' | 'join';
  /** What the band is announced as. */
  readonly name: string;
  /** What a broker says for this stand when it vanishes; asked for before each connection. */
  readonly lastWord: (() => LastWord | null) | null;
  /** Never called within `openMeeting`. After `refused` nothing comes. */
  readonly onEvent: (event: MeetingEvent) => void;
}

/** This long a link may be down before a leader opens a broker of its own, ms: what was only a moment is over. */
const patienceMs = 2000;
/** How often another place is tried while none answers, ms. */
const tryMs = 1500;
/** A stand that looks for a band in vain says so after this time, ms. */
const foundMs = 4000;
/** A broker that was found, and of which nothing comes that is sealed with the word, is left after this long where there are others, ms. */
const provenMs = 3000;

/** Meets a band, to lead it or to join it. */
export function openMeeting(options: MeetingOptions): Meeting {
  return new BandMeeting(options);
}

class BandMeeting implements Meeting {
  private readonly word: string;
  private readonly targets: Targets;
  /** Whether the band meets at somebody else's broker: then this stand opens none. */
  private readonly elsewhere: boolean;
  private readonly topics: Topic[] = [];
  private readonly noticed = new Set<string>();
  private keys: BandKeys | null = null;
  private link: OpenLink | null = null;
  private at: BrokerAddress | null = null;
  private up = false;
  /** Why a place no longer let this stand in. */
  private refusal: string | null = null;
  private proven = false;
  private downSince = hrtimeMs();
  private carried: Carried | null = null;
  private search: Discovery | null = null;
  private probe: OpenLink | null = null;
  private leader: ClaimSeen | null = null;
  private leads: boolean;
  private closing: Promise<void> | null = null;
  private readonly timers = new Map<string, NodeJS.Timeout>();

  constructor(private readonly options: MeetingOptions) {
    const { word, address, begins } = options;
    this.word = word ?? makeWord();
    this.leads = begins === 'lead';
    this.elsewhere = address !== null && (this.leads || address.tls || address.user !== null);
    this.targets = new Targets(address);
    setImmediate(() => void this.begin());
  }

  get id(): string {
    return this.options.seat.id;
  }

  publish(topic: Topic, payload: Uint8Array, options: { retain: boolean; qos: 0 | 1 }): void {
    this.link?.publish(topic, payload, options);
  }

  subscribe(topics: readonly Topic[]): void {
    const known = new Set(this.topics.map((topic) => topic.join('/')));
    this.topics.push(...topics.filter((topic) => !known.has(topic.join('/'))));
    // Also what is known: the broker then says what it keeps there once more.
    this.link?.subscribe(topics);
  }

  setLeads(leads: boolean): void {
    this.leads = leads;
    if (leads) this.carried?.setLeader(this.id);
    this.carryIfNeeded();
  }

  turnAway(id: string): void {
    this.carried?.turnAway(id);
  }

  close(): Promise<void> {
    this.closing ??= this.end();
    return this.closing;
  }

  private async begin(): Promise<void> {
    const read = readWord(this.word);
    if (!read.ok) {
      this.refuse(read.fault.message);
      return;
    }
    this.keys = await bandKeys(read.value);
    if (this.closing) return;
    const { address, port } = this.options;
    if (address) {
      this.notice(openNetworkNotice(address));
      this.goTo(address);
    } else if (this.leads) this.carry(port);
    else {
      this.look();
      this.wait('found', foundMs, () => {
        if (!this.link) this.notice(noneFound(this.keys?.tag ?? null));
      });
    }
  }

  private async end(): Promise<void> {
    for (const timer of this.timers.values()) clearTimeout(timer);
    await this.link?.close();
    await Promise.all([this.probe?.close(), this.search?.close(), this.carried?.close()]);
  }

  /** Opens a broker for the band here. */
  private carry(port: number | null): void {
    const { keys } = this;
    if (!keys || this.carried) return;
    const { seat, name } = this.options;
    // A broker that can no longer be reached counts as at least one, for anybody who has been in the band.
    const turn = this.link ? Math.max(1, this.targets.turns) + 1 : 1;
    const carried: Carried = new Carried({
      keys,
      seat,
      port,
      name,
      turn,
      onListening: (open, address) => {
        if (this.carried !== carried) return;
        const plain = { host: '127.0.0.1', port: open, tls: false, user: null, password: null };
        this.goTo(plain, carried.password);
        this.tell({ kind: 'met', place: { word: this.word, address, carried: true } });
        this.look();
      },
      onFailed: (sentence) => {
        if (this.carried !== carried) return;
        this.carried = null;
        void carried.close();
        if (this.link) this.notice(sentence);
        else this.refuse(sentence);
      },
      onNotice: (sentence) => this.notice(sentence),
    });
    this.carried = carried;
  }

  /** Opens a broker, if this stand leads, none can be reached, and the band is at nobody else's. */
  private carryIfNeeded(): void {
    this.stop('carry');
    if (!this.leads || this.up || this.elsewhere || this.carried || !this.link) return;
    this.wait('carry', Math.max(0, this.downSince + patienceMs - hrtimeMs()), () => this.carry(null));
  }

  private goTo(address: BrokerAddress, password: string | null = null): void {
    const { keys } = this;
    if (!keys || this.closing) return;
    this.at = address;
    if (this.link) {
      this.link.redirect(address, password);
      return;
    }
    const { seat, ca, lastWord } = this.options;
    const link: OpenLink = openLink({
      address,
      keys,
      seat,
      ca,
      lastWord,
      leaderPassword: password,
      onEvent: (event) => {
        if (this.link === link) this.hear(event);
      },
    });
    this.link = link;
    link.subscribe(this.topics);
  }

  private hear(event: LinkEvent): void {
    switch (event.kind) {
      case 'up':
        this.isUp();
        this.tell(event);
        this.tellPlace();
        return;
      case 'down':
        if (this.up) this.downSince = hrtimeMs();
        this.up = false;
        this.tell(event);
        if (!this.elsewhere && !this.carried) this.look();
        this.carryIfNeeded();
        return;
      case 'message':
        if (event.topic[1] !== this.id) this.proven = true;
        this.leader = claimSeen(this.leader, event.topic, event.payload);
        if (this.leader) this.carried?.setLeader(this.leader.id);
        this.tell(event);
        return;
      case 'refused':
        this.refusedAt(event.reason);
    }
  }

  private isUp(): void {
    this.up = true;
    this.proven = false;
    this.refusal = null;
    this.stop('carry');
    this.stop('try');
    if (this.carried) return;
    // Anybody can announce anything: what is sealed with the word is the proof.
    this.wait('try', provenMs, () => {
      if (this.proven || this.targets.all.length < 2) this.lookNoMore();
      else this.tryNext();
    });
  }

  private tellPlace(): void {
    if (this.carried || !this.at) return;
    this.notice(openNetworkNotice(this.at));
    this.tell({ kind: 'met', place: { word: this.word, address: addressText(this.at), carried: false } });
  }

  private refusedAt(reason: string): void {
    const { at } = this;
    this.link = null;
    this.up = false;
    // Of the ways to one broker the first that is refused says why; the others only that it is so.
    this.refusal ??= reason;
    if (at) this.targets.refuse(at);
    const isGiven = at !== null && at === this.options.address;
    const next = isGiven || this.carried ? null : this.targets.next();
    if (next) this.goTo(next);
    else this.refuse(this.refusal);
  }

  /** Looks for the band's brokers: for another one, where this stand carries one itself. */
  private look(): void {
    const { keys } = this;
    if (!this.carried && this.link) this.wait('try', tryMs, () => this.tryNext());
    if (!keys || this.search || this.closing) return;
    this.search = browseBands(keys.tag, (event) => {
      if (event.kind === 'failed') this.notice(event.sentence);
      if (event.kind === 'gone') this.targets.remove(event.band);
      if (event.kind === 'found') this.found(event.band);
    });
  }

  private lookNoMore(): void {
    void this.search?.close();
    this.search = null;
  }

  private found(band: FoundBand): void {
    if (band.id === this.id || this.closing) return;
    this.targets.add(band);
    if (this.carried) this.giveWay(this.carried, band);
    else if (!this.up) this.tryNext();
  }

  private tryNext(): void {
    if (this.carried || this.closing) return;
    const next = this.targets.next();
    if (next) this.goTo(next);
    this.wait('try', tryMs, () => this.tryNext());
  }

  /** Leaves the own broker for a later one of the band, as soon as something there is sealed with the word. */
  private giveWay(carried: Carried, band: FoundBand): void {
    const { keys } = this;
    const [host] = band.hosts;
    if (!keys || host === undefined || this.probe || !givesWay({ turn: carried.turn, id: this.id }, band))
      return;
    const address = { host, port: band.port, tls: false, user: null, password: null };
    const probe = openLink({
      address,
      keys,
      seat: this.options.seat,
      onEvent: (event) => {
        if (event.kind !== 'message' || event.topic[1] === this.id || this.probe !== probe) return;
        void this.leaveProbe();
        this.notice(`another stand runs the band’s broker now, at ${addressText(address)}`);
        this.carried = null;
        this.goTo(address);
        void carried.close();
      },
    });
    this.probe = probe;
    probe.subscribe([['lead', '+', 'claim']]);
    this.wait('probe', provenMs, () => void this.leaveProbe());
  }

  private async leaveProbe(): Promise<void> {
    const { probe } = this;
    this.stop('probe');
    this.probe = null;
    await probe?.close();
  }

  private refuse(reason: string): void {
    this.tell({ kind: 'refused', reason });
    void this.close();
  }

  private notice(sentence: string | null): void {
    if (sentence === null || this.noticed.has(sentence)) return;
    this.noticed.add(sentence);
    this.tell({ kind: 'notice', sentence });
  }

  private tell(event: MeetingEvent): void {
    if (!this.closing) this.options.onEvent(event);
  }

  private wait(name: string, ms: number, then: () => void): void {
    this.stop(name);
    if (!this.closing) this.timers.set(name, setTimeout(then, ms));
  }

  private stop(name: string): void {
    clearTimeout(this.timers.get(name));
    this.timers.delete(name);
  }
}
