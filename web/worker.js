// Computes beside the page: the same module, asked by messages. The first is
// the compiled module, each further one an errand as bytes; each is answered.
import init, { carry_out_errand } from "./web.js";

let ready;
onmessage = ({ data }) => {
  if (data instanceof WebAssembly.Module) {
    ready = init({ module_or_path: data });
    return;
  }
  ready
    .then(() => postMessage(carry_out_errand(data)))
    // An error inside a promise would never reach the page.
    .catch((error) => setTimeout(() => { throw error; }));
};
