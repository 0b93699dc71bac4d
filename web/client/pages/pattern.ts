// The pattern page: puts the editor together inside the shell that the server rendered.
import { startPattern } from "../pattern/app";

const shell = document.getElementById("pattern");
if (shell) void startPattern(shell);
