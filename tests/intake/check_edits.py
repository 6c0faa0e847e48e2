# SPDX-License-Identifier: Apache-2.0
"""check_edits.py FILE: what edits made of TOML texts, against Python's tomllib.

FILE holds cases as JSON: the text before, the edit, the text after. The text after must read as the
tree before with the edit made in Python, and must hold every comment of the text before, in order,
but for those inside a table that was removed. Prints what is wrong; exit status 1 then.
"""
import json
import sys
import tomllib


def comments(text):
    """(line, comment) of each comment; strings of all four kinds are passed over."""
    out, line, at, quote = [], 1, 0, ""
    while at < len(text):
        rest = text[at:]
        if rest[0] == "\n":
            line += 1
        if quote:
            if quote[0] == '"' and rest[0] == "\\":
                at += 2
                continue
            if rest.startswith(quote):
                at += len(quote)
                while len(quote) == 3 and text[at:at + 1] == quote[0]:
                    at += 1
                quote = ""
                continue
        elif rest.startswith(('"""', "'''")):
            quote = rest[:3]
            at += 3
            continue
        elif rest[0] in "\"'":
            quote = rest[0]
        elif rest[0] == "#":
            end = text.find("\n", at)
            end = len(text) if end < 0 else end
            out.append((line, text[at:end].rstrip("\r")))
            at = end
            continue
        at += 1
    return out


def one(texts):
    return texts[0] if len(texts) == 1 else texts


def is_link(table, name):
    return table.get("name") == name or ("name" not in table and f"{table['from']}/{table['to']}" == name)


def edited(tree, edit):
    kind = edit["edit"]
    if kind == "set":
        [device] = [d for d in tree["device"] if d["name"] == edit["device"]]
        old = device.get(edit["key"])
        if not edit["texts"]:
            device.pop(edit["key"], None)
        elif isinstance(old, list) and len(old) == len(edit["texts"]):
            device[edit["key"]] = edit["texts"]
        else:
            device[edit["key"]] = one(edit["texts"])
    elif kind == "card":
        tree.setdefault("card", []).append(edit["card"])
    else:
        tree["link"] = [t for t in tree["link"] if not is_link(t, edit["link"])]
        if not tree["link"]:
            del tree["link"]
    return tree


def is_subsequence(small, large):
    rest = iter(large)
    return all(item in rest for item in small)


def fault_of(case):
    before, after = case["before"], case["after"]
    try:
        now = tomllib.loads(after)
    except tomllib.TOMLDecodeError as error:
        return f"is no TOML: {error}"
    if now != edited(tomllib.loads(before), case["edit"]):
        return "reads otherwise than the edited tree"
    kept = [c for line, c in comments(before)
            if case["edit"]["edit"] != "link" or not case["first"] <= line <= case["last"]]
    if not is_subsequence(sorted(kept), sorted(c for _, c in comments(after))):
        return "lost a comment"
    if ("\r\n" in before) != ("\r\n" in after) or after.replace("\r\n", "").count("\r") > 0:
        return "changed the line ends"
    return None


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        cases = json.load(file)
    faults = 0
    for number, case in enumerate(cases):
        fault = fault_of(case)
        if fault:
            faults += 1
            print(f"case {number} {fault}: {json.dumps(case['edit'])}\n--- before\n{case['before']}\n--- after\n{case['after']}")
    print(f"{len(cases)} cases, {faults} faults")
    return 1 if faults or not cases else 0


sys.exit(main())
