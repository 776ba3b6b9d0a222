#!/usr/bin/env node
import { nodeFault } from './base/node-version.js';

/*
 * The first module. A Node that is too old cannot even read the others, so that is reported here, and everything else
 * is loaded after it.
 */

const fault = nodeFault(process.versions.node);
if (fault === '') import('./main.js');
else {
  process.exitCode = 3;
  process.stderr.write(fault);
}
