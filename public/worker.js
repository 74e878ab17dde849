// One calculation worker. It is started by the page with { js, module, climate }: the address of the program's script, the compiled module,
// and the address of the climate grid.
// Then, for each { id, bytes }:
//   { id, progress, part }  while it runs: share done 0..1, and bytes of a partial result or undefined
//   { id, bytes }           the answer
//   { id, error }           the calculation failed; the program's memory is no longer sound, and the page must start a new worker
// Without an id: { error } if the worker could not start, { trouble } if it runs but something is missing.

let ready;

self.onmessage = ({ data }) => {
  if (data.module) {
    ready = start(data);
    ready.catch((error) => self.postMessage({ error: String(error) }));
  } else {
    ready.then((program) => answer(program, data), () => {});
  }
};

async function start({ js, module, climate }) {
  const program = await import(js);
  await program.default({ module_or_path: module });
  try {
    program.set_climate(await unpacked(climate));
  } catch (error) {
    self.postMessage({ trouble: `climate grid: ${error?.message ?? error}` });
  }
  return program;
}

function answer(program, { id, bytes }) {
  try {
    const result = program.answer(bytes, (progress, part) => self.postMessage({ id, progress, part }));
    self.postMessage({ id, bytes: result }, [result.buffer]);
  } catch (error) {
    self.postMessage({ id, error: String(error) });
  }
}

// The climate grid as bytes. Some servers unpack .gz files on the way; the first two bytes tell.
async function unpacked(url) {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`${response.status} ${response.statusText}`);
  const packed = await response.blob();
  const [first, second] = new Uint8Array(await packed.slice(0, 2).arrayBuffer());
  if (first !== 0x1f || second !== 0x8b) return new Uint8Array(await packed.arrayBuffer());
  const bytes = packed.stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(bytes).arrayBuffer());
}
