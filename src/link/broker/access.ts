import type { Aedes } from 'aedes';
import type { Topic } from '../../band/link.js';
import { sealBytes } from '../seal.js';
import { readTopic } from '../topics.js';
import { Door } from './door.js';
import type { Kept } from './kept.js';
import type { ServeOptions } from './messages.js';
import { isAllowed, ownerLevel, ruleFor, type TopicRule } from './rules.js';
import type { BrokerClient, Visitors } from './visitors.js';

/** Stands that may be there at once. */
export const mostStands = 64;
/** Where messages go that are not allowed: nobody hears them there. */
const nowhere = '$SYS/refused';

/** What access asks of the broker that it guards. */
export interface AccessParts {
  readonly visitors: Visitors;
  readonly kept: Kept;
  readonly now: () => number;
  /** Somebody was not let in or was cut off: a sentence. */
  readonly onRefused: (address: string, sentence: string) => void;
}

/** Decides for the broker who joins, and who writes and hears what. */
export class Access {
  /** The id of the stand that leads now. */
  leader: string;
  private readonly door: Door;

  constructor(
    private readonly options: ServeOptions,
    private readonly parts: AccessParts,
  ) {
    this.leader = options.leader.id;
    this.door = new Door(options, parts.now);
  }

  /** Keeps a stand away from now on. */
  turnAway(id: string): void {
    this.door.turnAway(id, this.parts.visitors.ownAddress(id));
  }

  /** Sets what a broker asks at each packet. */
  guard(aedes: Aedes): void {
    const { visitors } = this.parts;
    // What a session keeps for an absent stand would have no limit; the program asks for no such sessions. With an error,
    // since a plain no would leave the connection open and unwatched.
    aedes.preConnect = (_client, packet, done) =>
      packet.clean === true
        ? done(null, true)
        : done(new Error('sessions do not outlast connections'), false);
    aedes.authenticate = (client, user, password, done) => {
      const visitor = visitors.of(client);
      const address = visitor?.address ?? '';
      const full = visitors.stands.size >= mostStands && !visitors.stands.has(client.id);
      const entry = this.door.judge({ id: client.id, address, user, password, full });
      if (entry.kind === 'in') {
        visitor?.guard.joined();
        if (client.id === this.leader) visitor?.guard.leads();
        return done(null, true);
      }
      this.parts.onRefused(address, entry.sentence);
      const error = Object.assign(new Error(entry.sentence), { returnCode: entry.code });
      setTimeout(() => done(error, false), entry.delayMs);
    };
    aedes.authorizePublish = (client, packet, done) => {
      if (!client || !this.mayWrite(client, packet)) {
        // MQTT 3.1.1 has no answer that says no (3.3.5): the message goes where nobody hears it.
        packet.topic = nowhere;
        packet.payload = Buffer.alloc(0);
        packet.retain = false;
        packet.qos = 0;
      }
      done(null);
    };
    aedes.authorizeSubscribe = (_client, subscription, done) => {
      // The leader can change later: whether somebody may hear is checked at each message.
      const known = this.rule(subscription.topic, true) !== null;
      done(null, known ? { ...subscription, qos: subscription.qos === 0 ? 0 : 1 } : null);
    };
    aedes.authorizeForward = (client, packet) => {
      const found = this.rule(packet.topic);
      if (!found || !isAllowed(found.rule.read, found.rule, found.topic, client.id, this.leader)) return null;
      return visitors.of(client)?.guard.reads() ? packet : null;
    };
  }

  private rule(written: string, filter = false): { readonly topic: Topic; readonly rule: TopicRule } | null {
    const topic = readTopic(this.options.band, written, filter);
    const rule = topic ? ruleFor(this.options.rules, topic) : undefined;
    return topic && rule ? { topic, rule } : null;
  }

  private mayWrite(client: BrokerClient, packet: Parameters<Aedes['authorizePublish']>[1]): boolean {
    const found = this.rule(packet.topic);
    const allowed =
      found !== null &&
      packet.qos < 2 &&
      packet.payload.length <= found.rule.most + sealBytes &&
      (found.rule.retain || !packet.retain) &&
      isAllowed(found.rule.write, found.rule, found.topic, client.id, this.leader);
    if (allowed && packet.retain && found.rule.topic.includes(ownerLevel))
      this.parts.kept.keeps(client.id, packet.topic);
    if (!allowed) this.forbid(client);
    return allowed;
  }

  private forbid(client: BrokerClient): void {
    const visitor = this.parts.visitors.of(client);
    if (!visitor || visitor.forbidden.take(1, this.parts.now()) || client.closed) return;
    this.parts.onRefused(visitor.address, `${client.id} was cut off: it wrote where it is not allowed to`);
    client.close();
  }
}
