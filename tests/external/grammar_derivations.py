#!/usr/bin/python3
"""Counts derivations of quantities by docs/quantities.ebnf itself, and holds the parser in C to them.

usage: grammar_derivations.py QUANTITIES.EBNF ACCEPTED.TXT REFUSED.TXT DRIVER [COUNT]

The EBNF is read as written: any of its ways of taking a text apart is counted, by a parser that tries them all. Every accepted text
must have exactly one derivation, no text may ever have two, and the parser must take apart exactly the texts that have one.
"""
import random
import re
import subprocess
import sys


class Grammar:
    """Rules as nested tuples: ("token", name), ("sequence", [..]), ("choice", [..]), ("repeat", node, least, most)."""

    def __init__(self, path):
        self.pieces, self.rules, self.tokens = {}, {}, {}
        with open(path, encoding="utf-8") as file:
            for line in file:
                self.read_line(line.rstrip("\n"))
        self.lengths = {}

    def read_line(self, line):
        piece = re.match(r"%(\w+)\s+=\s+(.*)$", line)
        rule = re.match(r"(\w+)\s+::=\s+(.*)$", line)
        if piece:
            self.pieces[piece.group(1)] = piece.group(2).strip()
        elif rule and rule.group(2).startswith("/"):
            body = rule.group(2).strip()
            assert body.endswith("/"), line
            self.tokens[rule.group(1)] = self.expanded(body[1:-1])
        elif rule:
            self.rules[rule.group(1)] = self.parse_rule(rule.group(2))
        else:
            assert not line.strip() or line.startswith("#"), line

    def expanded(self, pattern):
        names = sorted(self.pieces, key=len, reverse=True)
        every = re.compile("|".join(names))
        while every.search(pattern):
            pattern = every.sub(lambda found: self.pieces[found.group()], pattern)
        return pattern.replace(r"\/", "/")

    def parse_rule(self, text):
        words = re.findall(r"'[^']*'|\w+|[()|?*+]|#.*", text)
        words = [word for word in words if not word.startswith("#")]
        node, at = self.parse_choice(words, 0)
        assert at == len(words), text
        return node

    def parse_choice(self, words, at):
        choices = []
        while True:
            sequence = []
            while at < len(words) and words[at] not in (")", "|"):
                node, at = self.parse_one(words, at)
                sequence.append(node)
            choices.append(("sequence", tuple(sequence)))
            if at == len(words) or words[at] == ")":
                return ("choice", tuple(choices)), at
            at += 1

    def parse_one(self, words, at):
        if words[at] == "(":
            node, at = self.parse_choice(words, at + 1)
            assert words[at] == ")"
        elif words[at].startswith("'"):
            node = ("literal", words[at][1:-1])
        else:
            node = ("name", words[at])
        at += 1
        if at < len(words) and words[at] in "?*+":
            least, most = {"?": (0, 1), "*": (0, None), "+": (1, None)}[words[at]]
            return ("repeat", node, least, most), at + 1
        return node, at

    def token_end(self, name, text, at):
        """The end of the longest text that the token matches at `at`, or None.

        `re` takes the first alternative that fits, not the longest: every end is asked for by itself, longest first, with a
        lookbehind that pins it, so that what looks ahead still sees the whole text."""
        if not self.compiled(name, None).match(text, at):
            return None
        for end in range(len(text), at - 1, -1):
            if self.compiled(name, end).match(text, at):
                return end
        return None

    def compiled(self, name, end):
        key = (name, end)
        if key not in self.lengths:
            pin = "" if end is None else r"(?<=\A[\s\S]{%d})" % end if end else r"(?<![\s\S])"
            self.lengths[key] = re.compile("(?:%s)%s" % (self.tokens[name], pin), re.ASCII)
        return self.lengths[key]


class Count:
    """How often each node of the grammar matches from a place to each end."""

    def __init__(self, grammar, text):
        self.grammar, self.text, self.memo = grammar, text, {}

    def total(self):
        return self.ends(("name", "value"), 0).get(len(self.text), 0)

    def ends(self, node, at):
        key = (node, at)
        if key not in self.memo:
            self.memo[key] = getattr(self, node[0])(node, at)
        return self.memo[key]

    def name(self, node, at):
        if node[1] in self.grammar.rules:
            return self.ends(self.grammar.rules[node[1]], at)
        end = self.grammar.token_end(node[1], self.text, at)
        return {} if end is None else {end: 1}

    def literal(self, node, at):
        return {at + len(node[1]): 1} if self.text.startswith(node[1], at) else {}

    def choice(self, node, at):
        found = {}
        for each in node[1]:
            for end, count in self.ends(each, at).items():
                found[end] = found.get(end, 0) + count
        return found

    def sequence(self, node, at):
        reached = {at: 1}
        for each in node[1]:
            reached = self.further(each, reached)
        return reached

    def further(self, node, reached):
        found = {}
        for start, ways in reached.items():
            for end, count in self.ends(node, start).items():
                found[end] = found.get(end, 0) + ways * count
        return found

    def repeat(self, node, at):
        _, inner, least, most = node
        reached, found, times = {at: 1}, {}, 0
        while reached:
            if times >= least:
                for end, count in reached.items():
                    found[end] = found.get(end, 0) + count
            if times == most:
                break
            reached = {end: count for end, count in self.further(inner, reached).items() if end > min(reached)}
            times += 1
        return found


def read_list(path):
    with open(path, encoding="utf-8") as file:
        return [line.rstrip("\n").split("\t") for line in file if line.strip() and not line.startswith("#")]


SNIPPETS = (
    "1 1/2 14 3/4 ½ 1½ .5 0.5 12.25 1-1/2 7 0 ' \" '' ′ ″ ’ ” ° % in in. inches ft ft. mm cm m yd deg px ppi lb lb/ft3 kg/m² kW W K "
    "drawn up left frame cover min( max( ( ) ; , + - − * / x X × to . - otter otter's pier.tall far bank.tall far-bank tall eyes pier 2 "
    "post 3b x-brace.tall x2 x24 f/11 f11 F/5.6 ƒ/2 F f in the reeds.tall cover board.tall door frame.wide min.tall to' to’s fähre.tall "
    "heron.at.back Quay - 6 1/2 3'-6 6\" 40%frame drawn.tall up. a.b .b a. 1/ /2 ---"
).split(" ") + [" ", "  ", "\t", " ", " to ", " x ", " - ", " + ", " / ", "far bank", "pier 2.tall", "old otter", "otter's cub"]


def mutated(chance, text):
    signs = list(text)
    for _ in range(chance.randint(1, 3)):
        at, what = chance.randint(0, len(signs)), chance.random()
        if what < 0.3 and signs:
            del signs[min(at, len(signs) - 1)]
        elif what < 0.45 and signs:
            at = min(at, len(signs) - 1)
            signs.insert(at, signs[at])
        elif what < 0.6 and len(signs) > 1:
            at = chance.randint(0, len(signs) - 2)
            signs[at], signs[at + 1] = signs[at + 1], signs[at]
        else:
            signs[at:at] = chance.choice(SNIPPETS)
    return "".join(signs)


def generated(chance, grammar, name, depth=0):
    """A text by the rules, its tokens from snippets; now and then wrong where tokens touch, which is the point."""
    samples = {
        "_": ["", "", " ", "\t"], "to": [" to ", "  to "], "times": [" x ", "x", "×", " × ", " X "], "plus": ["+", " + ", "+ "],
        "minus": [" - ", " − "], "star": ["*", " * "], "slash": ["/", " / "], "sign": ["-", "− ", "+"], "comma": [",", ";"], "dot": ["."],
        "joint": [" ", "-", "", "  "], "number": ["1", "12", "3/4", "1 1/2", "1-1/2", "½", "2½", "2 ½", ".5", "0.25"],
        "unit": ["in", "in.", "ft", "ft.", "mm", "m", "'", "\"", "''", "′", "°", "deg", "lb/ft3", "kg/m²", "kg", "W", "px"],
        "stop": ["f/11", "f11", "ƒ/5.6"], "drawn": [" drawn"], "way": [" up", " down", " left"], "frame": ["frame"], "cover": ["cover"],
        "min": ["min"], "max": ["max"], "name": ["otter", "far bank", "pier 2", "post-3", "in the reeds", "x-brace", "cover board"],
        "name_not_unit": ["otter", "old otter", "otter's cub", "far bank", "x-brace"], "field": ["tall", "at", "top left"],
    }
    if name in samples:
        return chance.choice(samples[name])
    return generated_node(chance, grammar, grammar.rules[name], depth + 1)


def generated_node(chance, grammar, node, depth):
    kind = node[0]
    if kind == "literal":
        return node[1]
    if kind == "name":
        return generated(chance, grammar, node[1], depth)
    if kind == "sequence":
        return "".join(generated_node(chance, grammar, each, depth) for each in node[1])
    if kind == "choice":
        choices = node[1][:4] if depth > 12 else node[1]
        return generated_node(chance, grammar, chance.choice(choices), depth)
    times = node[2]
    while depth < 14 and (node[3] is None or times < node[3]) and chance.random() < 0.3:
        times += 1
    return "".join(generated_node(chance, grammar, node[1], depth) for _ in range(times))


def all_texts(grammar, accepted, refused, count):
    chance = random.Random(20240229)
    seeds = [text for _, text, *_ in accepted + refused]
    for text in seeds:
        yield text
    for i in range(count):
        kind = i % 4
        if kind == 0:
            text = mutated(chance, chance.choice(seeds))
        elif kind == 1:
            text = generated(chance, grammar, "value")
        elif kind == 2:
            text = mutated(chance, generated(chance, grammar, "value"))
        else:
            text = "".join(chance.choice(SNIPPETS) for _ in range(chance.randint(1, 7)))
        if len(text) <= 60:
            yield text


def ask(driver, pairs):
    lines = "".join("%s\t%s\n" % pair for pair in pairs)
    answer = subprocess.run([driver], input=lines.encode(), stdout=subprocess.PIPE, check=True).stdout.decode()
    answers = [line.split("\t") for line in answer.splitlines()]
    assert len(answers) == len(pairs), "%d answers for %d texts" % (len(answers), len(pairs))
    return answers


def main():
    grammar = Grammar(sys.argv[1])
    accepted, refused = read_list(sys.argv[2]), read_list(sys.argv[3])
    count = int(sys.argv[5]) if len(sys.argv) > 5 else 8000
    faults = []
    for _, text, *_ in accepted:
        derivations = Count(grammar, text).total()
        if derivations != 1:
            faults.append("accepted, with %d derivations: `%s`" % (derivations, text))
    # The driver splits at the first tab only, so a text may hold tabs.
    texts = list(dict.fromkeys(all_texts(grammar, accepted, refused, count)))
    slots = ["length", "number", "range of length", "size", "angle"]
    answers = ask(sys.argv[4], [(slots[i % len(slots)], text) for i, text in enumerate(texts)])
    derived = sound = 0
    for text, (derives, verdict, *rest) in zip(texts, answers):
        derivations = Count(grammar, text).total()
        derived += derivations
        sound += verdict == "sound"
        if derivations > 1:
            faults.append("%d derivations: `%s`" % (derivations, text))
        if derivations != (derives == "derived"):
            faults.append("%d derivations, but the parser says %s (%s): `%s`" % (derivations, derives, rest, text))
        if verdict == "sound" and derivations != 1:
            faults.append("accepted, with %d derivations: `%s`" % (derivations, text))
    print("%d texts, %d with one derivation, %d accepted, %d faults" % (len(texts), derived, sound, len(faults)))
    for fault in faults[:40]:
        print(fault)
    few = derived < len(texts) // 10 or sound < len(accepted) // 3
    if few:
        print("too few texts can be taken apart for this check to mean anything")
    return 1 if faults or few else 0


if __name__ == "__main__":
    sys.exit(main())
