import type { Command } from 'commander';
import { RecordAtFaultError } from './command-errors.js';
import { type Terminal, writeOut } from './terminal.js';
import { withRedis } from './with-redis.js';

/** Adds `deckpace restrictions rebuild-lists` to the command line. */
export function addRestrictions(program: Command, terminal: Terminal): void {
  const restrictions = program
    .command('restrictions')
    .description('the record of restrictions at REDIS_URL')
    .addHelpText('afterAll', examples);
  restrictions
    .command('rebuild-lists')
    .description(
      'make the lists agree with the histories, as after a restore; says what somebody has to look into',
    )
    .option(
      '--accept-losses',
      'no longer list, nor miss, restrictions whose histories are gone for good',
      false,
    )
    .action(({ acceptLosses }: { acceptLosses: boolean }) =>
      withRedis(terminal, async (redis) => {
        const { rebuildLists } = await import('../restrictions/rebuild-lists.js');
        const { restrictions: count, placed, faults, warnings } = await rebuildLists(redis, acceptLosses);
        await writeOut(
          terminal.stdout,
          `Restrictions with a history: ${count}; not listed as it says, and now put right: ${placed.length}.\n`,
        );
        for (const warning of warnings) terminal.stderr.write(`Warning: ${warning}\n`);
        if (faults.length > 0) throw new RecordAtFaultError(faults);
      }),
    );
}

const examples = `
Examples:
  deckpace restrictions rebuild-lists
  deckpace restrictions rebuild-lists --accept-losses`;
