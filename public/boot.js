// Starts the page: fetches and compiles the program named in this script's own tag, and runs it.
// The program itself starts the workers; they get the same compiled module, so nothing is fetched or compiled twice.

const tag = document.querySelector("script[data-js][data-wasm]");
const address = (name) => new URL(name, document.baseURI).href;

start().catch((error) => {
  console.error(error);
  document.getElementById("opening").dataset.state = "failed";
});
keepOffline();

async function start() {
  const [program, module] = await Promise.all([import(address(tag.dataset.js)), compile(address(tag.dataset.wasm))]);
  await program.default({ module_or_path: module });
  document.getElementById("opening").remove();
}

async function compile(url) {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`${url}: ${response.status} ${response.statusText}`);
  // Compiling while it arrives needs the right media type; a server that sends another one still gets a page.
  if (response.headers.get("content-type")?.startsWith("application/wasm")) return WebAssembly.compileStreaming(response);
  return WebAssembly.compile(await response.arrayBuffer());
}

// After the first visit the page opens without a network. A browser that refuses (no storage, no https) still gets the page.
async function keepOffline() {
  if (!location.protocol.startsWith("http")) return;
  try {
    await navigator.serviceWorker.register(address("service-worker.js"));
  } catch (reason) {
    console.info("not kept for offline use:", reason?.message ?? reason);
  }
}
