// A job or quote page after something was sent: what was kept in the browser has arrived.

import { landed } from "./keep.js";

landed();
