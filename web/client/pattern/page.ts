// The pattern page: puts the editor together inside the shell that the server rendered.

import { printPattern } from "./print";
import { startPattern } from "./start";

const shell = document.getElementById("pattern");
if (shell) void startPattern(shell);
const pages = document.getElementById("pattern-pages");
if (shell && pages) printPattern(shell.dataset.base ?? "", pages);
