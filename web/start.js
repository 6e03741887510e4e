// Starts the page. A file of its own, since the page allows no scripts inside it.
import init, { start_app } from "./web.js";

await init();
start_app();
