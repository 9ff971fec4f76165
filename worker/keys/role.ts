import { z } from 'zod';

/** engineer: submit, draft. approver: approve, withdraw. operator: read restrictions, manage subscriptions. ci: submit, read. */
export const role = z.enum(['engineer', 'approver', 'operator', 'ci']);
export type Role = z.infer<typeof role>;
