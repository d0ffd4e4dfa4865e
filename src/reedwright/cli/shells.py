"""Completion scripts for bash, zsh and fish, as text from the commands' specs.

Conventions: every word that comes from a spec is quoted for its shell. bash: written for 3.2 and
later, so without `mapfile`. The scripts define functions and run nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from shlex import quote

from reedwright.cli.completion import Option, Spec
from reedwright.cli.parser import FILES, FOLDERS, TUNES
from reedwright.tune.load import SUFFIX

_GLOBAL = ("--help", "--version")

_BASH = """\
# Completion of reedwright for bash; made by `reedwright completion bash`.
_reedwright_words() { # the words that begin with what is typed
    local word
    for word in "$@"; do
        if [[ "$word" == "$cur"* ]]; then COMPREPLY+=("$word"); fi
    done
    if [[ "$*" == *\\ * || "$*" == *#* ]]; then compopt -o filenames 2>/dev/null; fi
}
_reedwright_paths() { # folders, and files that match
    local path
    compopt -o filenames 2>/dev/null
    while IFS= read -r path; do COMPREPLY+=("$path"); done < <(
        { compgen -d -- "$cur"; compgen -f -X "$1" -- "$cur"; } | LC_ALL=C sort -u
    )
}
_reedwright() {
    local cur="${COMP_WORDS[COMP_CWORD]}" prev="${COMP_WORDS[COMP_CWORD-1]}"
    local command="${COMP_WORDS[1]}"
    COMPREPLY=()
    if [[ "$prev" == "=" ]]; then prev="${COMP_WORDS[COMP_CWORD-2]}"; fi
    if [[ "$cur" == "=" ]]; then cur=""; fi
    cur="${cur#[\\"\\']}"
    cur="${cur//\\\\/}"
    if ((COMP_CWORD == 1)); then
        _reedwright_words @COMMANDS@
        return
    fi
    case "$command $prev" in
@VALUES@
    esac
    case "$command" in
@PLAIN@
    esac
}
complete -F _reedwright reedwright
"""


def bash(specs: Sequence[Spec]) -> str:
    """A script to be sourced by bash."""
    names = _quoted((*(spec.name for spec in specs), *_GLOBAL))
    values = [line for spec in specs for line in _bash_values(spec)]
    plain = [line for spec in specs for line in _bash_plain(spec)]
    script = _BASH.replace("@COMMANDS@", names).replace("@VALUES@", "\n".join(values))
    return script.replace("@PLAIN@", "\n".join(plain))


def _bash_values(spec: Spec) -> Iterator[str]:
    for option in spec.options:
        if option.takes_value:
            patterns = "|".join(f'"{spec.name} {flag}"' for flag in option.flags)
            yield f"        {patterns}) {_bash_what(option.what)}; return ;;"


def _bash_plain(spec: Spec) -> Iterator[str]:
    flags = _quoted(flag for option in spec.options for flag in option.flags)
    yield f"        {spec.name})"
    yield f'            if [[ "$cur" == -* ]]; then _reedwright_words {flags}'
    yield f"            else {_bash_what(spec.words)}; fi ;;"


def _bash_what(what: str | tuple[str, ...]) -> str:
    if isinstance(what, tuple):
        return f"_reedwright_words {_quoted(what)}"
    patterns = {TUNES: f"!*{SUFFIX}", FILES: "", FOLDERS: "*"}
    return f"_reedwright_paths {quote(patterns[what])}" if what in patterns else ":"


_ZSH = """\
#compdef reedwright
# Completion of reedwright for zsh; made by `reedwright completion zsh`.
_reedwright() {
    local -a commands=(
@COMMANDS@
    )
    if ((CURRENT == 2)); then
        _describe -t commands command commands
        _describe -o -t options option '(--help --version)'
        return
    fi
    local command="${words[2]}"
    shift words
    ((CURRENT--))
    case "$command" in
@CASES@
    esac
}
if [[ "${funcstack[1]}" == _reedwright ]]; then
    _reedwright "$@"
else
    compdef _reedwright reedwright
fi
"""


def zsh(specs: Sequence[Spec]) -> str:
    """A script to be evaluated by zsh, or put into its fpath as `_reedwright`."""
    commands = [f"        {quote(f'{spec.name}:{_zsh_text(spec.summary)}')}" for spec in specs]
    cases = [line for spec in specs for line in _zsh_case(spec)]
    return _ZSH.replace("@COMMANDS@", "\n".join(commands)).replace("@CASES@", "\n".join(cases))


def _zsh_case(spec: Spec) -> Iterator[str]:
    lines = [_zsh_option(option, flag) for option in spec.options for flag in option.flags]
    lines.append(quote(f"*:word:{_zsh_what(spec.words)}"))
    yield f"        {spec.name})"
    yield " \\\n                ".join(["            _arguments", *lines]) + " ;;"


def _zsh_option(option: Option, flag: str) -> str:
    value = f":value:{_zsh_what(option.what)}" if option.takes_value else ""
    return quote(f"{flag}[{_zsh_text(option.help)}]{value}")


def _zsh_what(what: str | tuple[str, ...]) -> str:
    if isinstance(what, tuple):
        return "(" + " ".join(word.replace(" ", "\\ ") for word in what) + ")"
    return {TUNES: f'_files -g "*{SUFFIX}"', FILES: "_files", FOLDERS: "_files -/"}.get(what, "")


def _zsh_text(text: str) -> str:
    for sign in "\\:[]":
        text = text.replace(sign, "\\" + sign)
    return text


def fish(specs: Sequence[Spec]) -> str:
    """A script for the completions folder of fish."""
    lines = [
        "# Completion of reedwright for fish; made by `reedwright completion fish`.",
        "complete -c reedwright -f",
        *(f"complete -c reedwright -n __fish_use_subcommand -l {flag[2:]}" for flag in _GLOBAL),
    ]
    for spec in specs:
        about = f"-a {spec.name} -d {_fish_text(spec.summary)}"
        lines.append(f"complete -c reedwright -n __fish_use_subcommand {about}")
    lines += [line for spec in specs for line in _fish_command(spec)]
    return "\n".join(lines) + "\n"


def _fish_command(spec: Spec) -> Iterator[str]:
    start = f"complete -c reedwright -n '__fish_seen_subcommand_from {spec.name}'"
    for option in spec.options:
        flags = " ".join(
            f"-l {flag[2:]}" if flag.startswith("--") else f"-s {flag[1:]}" for flag in option.flags
        )
        value = _fish_what(option.what, "-x ") if option.takes_value else ""
        yield " ".join(f"{start} {flags} -d {_fish_text(option.help)} {value}".split(" ")).rstrip()
    if spec.words:
        yield f"{start} {_fish_what(spec.words, '')}"


def _fish_what(what: str | tuple[str, ...], exclusive: str) -> str:
    if isinstance(what, tuple):
        words = " ".join(_fish_text(word) if " " in word or "#" in word else word for word in what)
        return f"{exclusive}-a {_fish_text(words)}"
    return {
        TUNES: f"{exclusive}-a '(__fish_complete_suffix {SUFFIX})'",
        FILES: "-r -F" if exclusive else "-F",
        FOLDERS: f"{exclusive}-a '(__fish_complete_directories)'",
    }.get(what, exclusive.strip())


def _fish_text(text: str) -> str:
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


def _quoted(words: Iterator[str] | Sequence[str]) -> str:
    return " ".join(quote(word) for word in words)
