import { monitorEventLoopDelay } from 'node:perf_hooks';

/**
 * Loaded before the server, which loads no TypeScript: measures how late its event loop is, and tells the process that
 * started it. A message 'begin' clears the record, 'end' sends percentiles in ms.
 */
const delay = monitorEventLoopDelay({ resolution: 1 });
delay.enable();

const ms = (ns) => ns / 1e6;
process.on('message', (word) => {
  if (word === 'begin') delay.reset();
  if (word === 'end')
    process.send?.({ p50: ms(delay.percentile(50)), p975: ms(delay.percentile(97.5)), max: ms(delay.max) });
});
// The channel alone must not keep the server alive.
process.channel?.unref();
