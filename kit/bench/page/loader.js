// Sources of plain ES modules; each gets an address of its own, and the browser links them.
const sources = __SOURCES__;
const addresses = new Map();

function addressOf(name) {
  if (!addresses.has(name)) {
    const linked = sources[name].replace(
      /from "\.\/([\w-]+\.js)"/g,
      (_, other) => `from "${addressOf(other)}"`,
    );
    const file = new Blob([linked], { type: "text/javascript" });
    addresses.set(name, URL.createObjectURL(file));
  }
  return addresses.get(name);
}

const entry = await import(addressOf("__ENTRY__"));
for (const address of addresses.values()) URL.revokeObjectURL(address);
export default entry.default;
