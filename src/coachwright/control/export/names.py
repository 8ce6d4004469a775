"""What is a name of the build called in a program, so that no two are ever the same and none means something else?

Names of the build become a small letter prefix and the name: ``turn-left`` is ``read_turn_left``. Structured Text
takes large and small letters for the same, refuses two underlines in a row, and knows many words of its own; so do
other languages. Whatever is left unclear gets a number behind it.
"""

from __future__ import annotations

import re

LONGEST = 40
"""Letters of an identifier: more than this isn't told apart everywhere."""

RESERVED = frozenset(
    (
        # IEC 61131-3, keywords, types and standard functions (ed. 3, annex A and tables 10 and 22 to 46).
        """abs absolute at abstract acos action add and any array asin at atan atan2 bool by byte case char class concat
    configuration constant continue cos ctd ctu ctud date delete div do dint dt dword else elsif end end_action
    end_case end_class end_configuration end_for end_function end_function_block end_if end_interface end_method
    end_namespace end_program end_repeat end_resource end_step end_struct end_transition end_type end_var end_while
    eq exit exp expt extends f_edge f_trig false final find for from function function_block ge gt if implements
    initial_step insert int interface internal interval ldate ldt le left len limit lint ln log lower_bound lreal lt
    ltime ltod lword max method mid min mod move mul mux namespace ne non_retain not null of on or overlap override
    pi priority private program protected public r_edge r_trig read_only read_write real ref ref_to repeat replace
    resource retain return right rol ror rs sel shl shr sin single sint sqrt sr step string struct sub super t tan
    task then this time tod tof ton to tp transition true trunc type udint uint ulint until upper_bound usint using
    var var_access var_config var_external var_global var_in_out var_input var_output var_temp wchar while with word
    wstring xor time_of_day date_and_time ltime_of_day ldate_and_time"""
        # ECMAScript: reserved words, those of strict mode, and names that mean something everywhere.
        """ arguments async await break case catch class const continue debugger default delete do else enum eval export
    extends false finally for function if implements import in instanceof interface let new null package private
    protected public return static super switch this throw true try typeof undefined var void while with yield nan
    infinity get set of as from constructor prototype hasownproperty valueof tostring math object array json"""
        # Python, in which some read such programs
        """ and as assert def del elif except from global is lambda none nonlocal not or pass raise"""
        # ours: what stands around the step in the ES module
        " state inputs step powerup table given"
    ).split()
)


class Names:
    """Hands out identifiers, each once."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def new(self, *words: str) -> str:
        """An identifier that says these words, and that nothing else has."""
        plain = re.sub(r"[^a-z0-9]+", "_", "_".join(words).lower().encode("ascii", "replace").decode()).strip("_")
        if not plain or not plain[0].isalpha():
            plain = f"n_{plain}".rstrip("_")
        base = plain = plain[:LONGEST].rstrip("_")
        number = 2
        while plain in self._taken or plain in RESERVED:
            tail = f"_{number}"
            plain = base[: LONGEST - len(tail)].rstrip("_") + tail
            number += 1
        self._taken.add(plain)
        return plain
