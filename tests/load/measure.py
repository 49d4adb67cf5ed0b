"""What each command takes on a large studio: processor time, and memory at its most.

    python measure.py GLOST STUDIO [STUDIO ...] [--only WORD] [--runs N]

The studios are such as `a_year_measured` in tests/screens/year leaves behind: two of them, one
twice the other, show what grows faster than they do (the last column). What writes runs in a
copy that is made anew; of three runs the least time is told. `--only` takes the calls that hold
a word.
"""

import argparse
import os
import resource
import shutil
import subprocess
import tempfile

#: What only reads.
READING = [
    ["glazes"], ["glazes", "tin"], ["glazes", "--near", "Lamplight clear"], ["compare", "Lamplight clear", "Highfell clear"],
    ["history", "Lamplight clear"], ["unity", "Lamplight clear"], ["check", "Lamplight clear"],
    ["check", "Lamplight clear", "--use", "tableware"], ["check", "--over", "glazes"],
    ["swap", "Lamplight clear", "--out", "feldspar A"], ["reach", "Lamplight clear", "--with", "feldspar B", "--with", "silica"],
    ["adjust", "Lamplight clear", "expansion <= 6.2"], ["fit", "Lamplight clear"], ["adjust", "Lamplight clear", "fit: buff stoneware"],
    ["fault", "pinholes", "Lamplight clear"], ["affected", "--out", "silica"], ["run", "craze-window"], ["run", "same-chemistry"],
    ["plan", "ladder"], ["batches"], ["batches", "--format", "csv"], ["cost", "Lamplight clear"],
    ["convert", "0.8 % cobalt carbonate", "--to", "cobalt oxide"], ["slurry", "Lamplight clear", "--jar", "500 ml = 735 g"],
    ["clay", "buff stoneware"], ["sensitivity", "Lamplight clear"], ["melt", "Lamplight clear"], ["sieve", "100"],
    ["notes"], ["notes", "Lamplight clear"], ["notes", "--lot", "312"], ["notes", "--since", "2026-03", "--until", "2026-03"],
    ["notes", "--format", "json"], ["kiln"], ["kiln", "--log"], ["recall", "7"], ["recall", "312"], ["lab"], ["due"],
    ["due", "--format", "json"], ["formula", "CaCO3"], ["materials"], ["materials", "silica"], ["chart"], ["year", "2026"],
    ["expect", "Lamplight clear", "--grade", "gloss"], ["script", "list"], ["script", "test"], ["label", "Lamplight clear"],
    ["card", "Lamplight clear"], ["read", "page.txt"], ["import", "stock.csv", "--dry-run"], ["weigh", "Lamplight clear", "--dry", "5 kg"],
    ["schema", "note"],
]
#: What writes, each on a studio as it was.
WRITING = [
    ["weigh", "Lamplight clear", "--dry", "1 kg", "--batch", "next", "--commit"],
    ["batches", "--void", "7"],
    ["kiln", "load", "--cone", "6", "--put", "7 = 5 on buff stoneware"],
    ["note", "Lamplight clear", "--clay", "buff stoneware", "--crazed", "0/5", "--age", "30d"],
    ["note", "--batch", "7", "--crazed", "0/5"],
    ["note", "--tile", "ladder/A1", "--grade", "gloss=5"],
    ["blend", "series", "Highfell clear", "--add", "silica 0..9 %", "--steps", "4", "--save", "highfell"],
    ["keep", "Lamplight clear + 3 % silica", "Lamplight with silica"],
    ["set", "silica", "price=1.20 EUR/kg"], ["set", "Lamplight clear", "use=floor"],
    ["add", "clay", "door clay", "--source", "bag"],
    ["rename", "Highfell clear", "Highfell bright"], ["rename", "buff stoneware", "buff body"],
    ["import", "stock.csv"], ["export", "out"],
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


def least(glost, studio, call, runs):
    """The least time of some runs, the most memory, the exit code."""
    times, most, code = [], 0.0, 0
    for _ in range(runs):
        if call in WRITING:
            with tempfile.TemporaryDirectory() as away:
                copied = shutil.copytree(studio, os.path.join(away, "studio"))
                seconds, megabytes, code = run(glost, copied, call)
        else:
            seconds, megabytes, code = run(glost, studio, call)
        times.append(seconds)
        most = max(most, megabytes)
    return min(times), most, code


def main():
    """A line a command, a pair of columns a studio."""
    asked = argparse.ArgumentParser()
    asked.add_argument("glost")
    asked.add_argument("studios", nargs="+")
    asked.add_argument("--only", default="")
    asked.add_argument("--runs", type=int, default=3)
    said = asked.parse_args()
    glost = os.path.abspath(said.glost)
    os.environ["GLOST_TODAY"] = "2026-11-25"
    for call in READING + WRITING:
        if said.only not in " ".join(call):
            continue
        found = [least(glost, studio, call, said.runs) for studio in said.studios]
        cells = [f"{seconds:7.2f} s {most:6.0f} MB{'' if code < 2 else f' exit {code}'}" for seconds, most, code in found]
        if len(found) > 1:
            cells.append(f"x{found[-1][0] / max(found[0][0], 0.01):4.1f}")
        print("  ".join(cells), " ".join(call), flush=True)


if __name__ == "__main__":
    main()
