import { z } from 'zod';

/** One fault of a request's body or parameters; of a scenario exactly as the command line prints it. */
export const faultSchema = z.strictObject({
  pointer: z.string(),
  code: z.string(),
  found: z.string(),
  accepted: z.string(),
  guess: z.string().nullable(),
  message: z.string(),
});
export type RequestFault = Readonly<z.infer<typeof faultSchema>>;

/** RFC 9457 problem details. */
export const problemSchema = z.strictObject({
  type: z.string(),
  title: z.string(),
  status: z.int(),
  detail: z.string(),
  /** Id of the request, as in the log. */
  request_id: z.string(),
  faults: z.array(faultSchema).optional(),
});

/** Kinds of problem: the status that goes with each, and its title. */
export const problemKinds = {
  'malformed-body': { status: 400, title: 'The body is not JSON' },
  'malformed-request': { status: 400, title: 'The request is not well formed' },
  'key-needed': { status: 401, title: 'A valid key is needed' },
  'role-needed': { status: 403, title: 'The key does not have the role this takes' },
  'author-cannot-approve': { status: 403, title: 'An author cannot approve their own restriction' },
  'approver-needed': { status: 403, title: 'An approver is needed' },
  'not-found': { status: 404, title: 'There is nothing here' },
  'method-not-allowed': { status: 405, title: 'Not possible here' },
  'wrong-state': { status: 409, title: 'The present state does not allow it' },
  'in-flight': { status: 409, title: 'The same request is being answered' },
  'concurrent-change': { status: 409, title: 'Changed by somebody else in the meantime' },
  'body-too-large': { status: 413, title: 'The body is too large' },
  'wrong-media-type': { status: 415, title: 'The body must be application/json' },
  'invalid-scenario': { status: 422, title: 'The scenario has faults' },
  'invalid-request': { status: 422, title: 'The request has faults' },
  'restriction-refused': { status: 422, title: 'The rules of the restriction record do not allow it' },
  'idempotency-mismatch': { status: 422, title: 'The Idempotency-Key belongs to another request' },
  'target-refused': { status: 422, title: 'The webhook target is not accepted' },
  'too-many-requests': { status: 429, title: 'Too many requests' },
  internal: { status: 500, title: 'A fault of the service' },
  unavailable: { status: 503, title: 'The service is not available now' },
} as const;
export type ProblemKind = keyof typeof problemKinds;

/** What a client is told instead of what it asked for. */
export class Problem extends Error {
  override readonly name = 'Problem';
  readonly status: number;

  constructor(
    readonly kind: ProblemKind,
    detail: string,
    readonly options: {
      readonly faults?: readonly RequestFault[];
      readonly headers?: Readonly<Record<string, string>>;
    } = {},
  ) {
    super(detail);
    this.status = problemKinds[kind].status;
  }

  document(requestId: string): z.infer<typeof problemSchema> {
    return {
      type: `urn:deckpace:problem:${this.kind}`,
      title: problemKinds[this.kind].title,
      status: this.status,
      detail: this.message,
      request_id: requestId,
      ...(this.options.faults === undefined ? {} : { faults: [...this.options.faults] }),
    };
  }
}
