declare const unit: unique symbol;

/** A number that carries its unit, so that frets and ticks cannot be mixed up. */
export type Branded<Unit extends string> = number & { readonly [unit]: Unit };
