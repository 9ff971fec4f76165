/** Members of all objects in a parsed JSON document. Fewer than in its text: some key stood twice in one object. */
export function membersInDocument(value: unknown): number {
  return typeof value === 'object' && value !== null ? membersWithin(value) : 0;
}

function membersWithin(value: object): number {
  let members = 0;
  if (Array.isArray(value)) {
    for (const one of value) if (typeof one === 'object' && one !== null) members += membersWithin(one);
    return members;
  }
  for (const key of Object.keys(value)) {
    members++;
    const one: unknown = value[key as keyof typeof value];
    if (typeof one === 'object' && one !== null) members += membersWithin(one);
  }
  return members;
}
