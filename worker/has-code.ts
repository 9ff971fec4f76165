/** Whether a thing thrown by Node carries one of these codes: those of the system (ENOSPC) and Node's own (ERR_...). */
export function hasCode(error: unknown, ...codes: readonly string[]): boolean {
  return (
    error instanceof Error && 'code' in error && typeof error.code === 'string' && codes.includes(error.code)
  );
}
