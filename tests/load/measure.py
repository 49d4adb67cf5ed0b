"""What each command takes on a large studio: processor time, and memory at its most.

    python measure.py GLOST STUDIO [STUDIO ...]

The studios are such as `a_year_measured` in tests/screens/year leaves behind. Each call is
run in a copy, so that what writes leaves no trace; of three runs the least time is told.
"""

import os
import resource
import shutil
import subprocess
import sys
import tempfile

CALLS = [
    ["glazes"], ["glazes", "--near", "Lamplight clear"], ["compare", "Lamplight clear", "Highfell clear"],
    ["history", "Lamplight clear"], ["unity", "Lamplight clear"], ["check", "Lamplight clear", "--use", "tableware"],
    ["swap", "Lamplight clear", "--out", "feldspar A"], ["reach", "Lamplight clear", "--with", "feldspar B", "--with", "silica"],
    ["adjust", "Lamplight clear", "expansion <= 6.2"], ["fit", "Lamplight clear"], ["adjust", "Lamplight clear", "fit: buff stoneware"],
    ["fault", "pinholes", "Lamplight clear"], ["affected", "--out", "silica"], ["run", "craze-window"], ["plan", "ladder"],
    ["batches"], ["batches", "--format", "csv"], ["cost", "Lamplight clear"], ["slurry", "Lamplight clear", "--jar", "500 ml = 735 g"],
    ["clay", "buff stoneware"], ["sensitivity", "Lamplight clear"], ["melt", "Lamplight clear"],
    ["notes"], ["notes", "Lamplight clear"], ["notes", "--lot", "312"], ["notes", "--format", "json"], ["kiln"], ["kiln", "--log"],
    ["recall", "7"], ["recall", "312"], ["due"], ["materials"], ["chart"], ["year", "2026"],
    ["expect", "Lamplight clear", "--grade", "gloss"], ["script", "list"], ["label", "Lamplight clear", "--batch", "7"],
    ["card", "Lamplight clear"], ["weigh", "Lamplight clear", "--dry", "5 kg"],
    ["weigh", "Lamplight clear", "--dry", "1 kg", "--batch", "next", "--commit"],
    ["kiln", "load", "--cone", "6", "--put", "7 = 5 on buff stoneware"], ["note", "--batch", "7", "--crazed", "0/5"],
    ["set", "silica", "price=1.20 EUR/kg"], ["export", "out"],
]


def run(glost, studio, call):
    """Seconds of processor time, megabytes at most, exit code; told by the call's own process."""
    told, tell = os.pipe()
    child = os.fork()
    if child == 0:
        with open(os.devnull, "w") as nothing:
            done = subprocess.run([glost, *call], cwd=studio, stdout=nothing, stderr=nothing, stdin=subprocess.DEVNULL, check=False)
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        os.write(tell, f"{used.ru_utime + used.ru_stime} {used.ru_maxrss / 1000} {done.returncode}".encode())
        os._exit(0)
    os.waitpid(child, 0)
    seconds, megabytes, code = os.read(told, 200).decode().split()
    os.close(told)
    os.close(tell)
    return float(seconds), float(megabytes), int(code)


def main():
    """A line a command, a pair of columns a studio."""
    glost, studios = os.path.abspath(sys.argv[1]), sys.argv[2:]
    os.environ["GLOST_TODAY"] = "2026-11-25"
    for call in CALLS:
        cells = []
        for studio in studios:
            best, most, code = 1e9, 0.0, 0
            for _ in range(3):
                if call[0] in ("weigh", "kiln", "note", "set", "export") and len(call) > 3 or call[0] in ("export", "set"):
                    with tempfile.TemporaryDirectory() as away:
                        copied = shutil.copytree(studio, os.path.join(away, "studio"))
                        seconds, megabytes, code = run(glost, copied, call)
                else:
                    seconds, megabytes, code = run(glost, studio, call)
                best, most = min(best, seconds), max(most, megabytes)
            cells.append(f"{best:7.2f} s {most:6.0f} MB{'' if code < 2 else f' exit {code}'}")
        print("  ".join(cells), " ".join(call), flush=True)


if __name__ == "__main__":
    main()
