#!/usr/bin/env node
import { nodeFault } from './base/node-version.js';

/*
 * The first module. A Node that is too old cannot even read the others, so that it is told of here, and everything else
 * is loaded after that.
 */

const fault = nodeFault(process.versions.node);
if (fault === '') import('./main.js');
else {
  process.exitCode = 3;
  process.stderr.write(fault);
}
