"""The module as a stranger uses it, in a folder with the example studio under `studio`."""

import json
import os
import subprocess
import sys
import unittest
import warnings

import glost

RECIPE = {"feldspar A": 38, "silica": 26, "whiting": 18, "kaolin": 12, "dolomite": 6}


def terminal(*words):
    """The command's JSON, whatever its exit code."""
    call = ["glost", *words, "--studio", "studio", "--format", "json"]
    return json.loads(subprocess.run(call, capture_output=True, check=False).stdout)


class Module(unittest.TestCase):
    def setUp(self):
        warnings.simplefilter("ignore", glost.Aside)
        self.studio = glost.Studio("studio")

    def test_answers_are_the_terminals(self):
        asked = {
            "unity": ({"glaze": "Lamplight clear", "additions": "out"}, ["Lamplight clear", "--additions", "out"]),
            "check": ({"glaze": "Lamplight clear", "use": "tableware"}, ["Lamplight clear", "--use", "tableware"]),
            "swap": ({"glaze": "Lamplight clear", "out": ["feldspar A"]}, ["Lamplight clear", "--out", "feldspar A"]),
            "adjust": ({"glaze": "Lamplight clear", "aims": ["SiO2 >= 3.3"]}, ["Lamplight clear", "SiO2 >= 3.3"]),
            "fit": ({"glaze": "Lamplight clear", "clay": "buff stoneware"}, ["Lamplight clear", "--clay", "buff stoneware"]),
            "melt": ({"glaze": "Lamplight clear", "at": ["1200 C"]}, ["Lamplight clear", "--at", "1200 C"]),
            "formula": ({"formula": "Al2Si2O5(OH)4"}, ["Al2Si2O5(OH)4"]),
        }
        for command, (question, words) in asked.items():
            with self.subTest(command):
                self.assertEqual(self.studio.ask(command, question), terminal(command, *words))

    def test_every_question_takes_its_words(self):
        for command in glost._glost.COMMANDS:
            with self.subTest(command), self.assertRaises(glost.Error) as told:
                self.studio.ask(command, {"nonsense here": 1})
            self.assertEqual(told.exception.code, "unknown-key")

    def test_a_recipe_stands_in_place_of_a_name(self):
        named = self.studio.unity("Lamplight clear")
        handed = self.studio.unity({"glaze": {"parts": RECIPE, "cone": "6"}})
        self.assertEqual(handed["unity"], named["unity"])
        self.assertEqual(self.studio.unity({"parts": RECIPE})["unity"], named["unity"])
        swap = self.studio.swap({"glaze": {"parts": RECIPE}, "out": "feldspar A"})
        self.assertIn("feldspar B", swap["proposals"][0]["parts"])

    def test_errors_say_where_and_what_to_do(self):
        wrong = [
            ({"parts": {"kaolim": 3}}, "unknown-material", "kaolin"),
            ({"glaze": "Lamplihgt clear"}, "unknown-glaze", "Lamplight clear"),
            ({"parts": {"kaolin": True}}, "not-a-number", "digits"),
            ({"parts": {"kaolin": float("nan")}}, "bad-value", None),
            ({"glaze": "Lamplight clear", "additions": "perhaps"}, "bad-option", "in, out"),
        ]
        for question, code, cure in wrong:
            with self.subTest(code), self.assertRaises(glost.Error) as told:
                self.studio.unity(question)
            self.assertEqual(told.exception.code, code)
            self.assertEqual(told.exception.exit_code, 2)
            if cure:
                self.assertIn(cure, told.exception.help)
        with self.assertRaises(glost.Error) as told:
            self.studio.unity({"parts": {"silica": 1, "kaolim": 3}})
        self.assertEqual((told.exception.file, told.exception.line), ("recipe 1", 1))

    def test_nothing_is_written(self):
        before = sorted(os.listdir("studio"))
        question = {"ends": ["Lamplight clear", "Highfell clear"], "kind": "line", "save": "p"}
        with self.assertRaises(glost.Error) as told:
            self.studio.ask("blend", question)
        self.assertEqual(told.exception.code, "not-here")
        self.assertEqual(sorted(os.listdir("studio")), before)

    def test_a_table_is_screened_in_its_order(self):
        rows = [{"glaze": f"row {n}", "feldspar A": 50 - n / 20, "silica": 20 + n / 20, "whiting": 20} for n in range(500)]
        findings = self.studio.screen(rows, {"use": "tableware"})
        names = list(dict.fromkeys(finding["glaze"] for finding in findings))
        self.assertEqual(names, [row["glaze"] for row in rows])

    def test_the_command_comes_along(self):
        version = subprocess.run(["glost", "--version"], capture_output=True, check=True, text=True).stdout
        self.assertEqual(version.split()[-1], glost.__version__)
        again = subprocess.run([sys.executable, "-m", "glost", "unty"], capture_output=True, check=False)
        self.assertEqual(again.returncode, 2)

    def test_the_bench_opens(self):
        call = ["glost", "open", "studio", "--no-browser", "--format", "json", "--until-stdin"]
        with subprocess.Popen(call, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as bench:
            told = json.loads(bench.stdout.readline())
            bench.stdin.close()
            self.assertEqual(bench.wait(10), 0)
        self.assertTrue(told["address"].startswith("http://127.0.0.1:"))


if __name__ == "__main__":
    unittest.main()
