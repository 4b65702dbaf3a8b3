"""A quick plan, for where the solver finds none in time: the longest parts first, each where it fits first. Lengths in
mm."""

from __future__ import annotations

from dataclasses import replace

from solids.layout.cutting.model import EXACT, Section, Solution, Stretch, Task, cross_section


def first_fit(task: Task) -> Solution:
    """A solution that is good, and not known to be the best."""
    order = sorted(range(len(task.parts)), key=lambda place: -task.parts[place].length)
    stretches = sorted(task.stretches, key=lambda one: (cross_section(task.boards[one.kind]), one.kind, one.copy))
    sections: list[Section] = []
    for part in order:
        _put(task, part, stretches, sections)
    return Solution(tuple(sections), proved=not sections and not any(task.kinds))


def _put(task: Task, part: int, stretches: list[Stretch], sections: list[Section]) -> None:
    """Puts a part beside others in a section, or into a section of its own where there is room for one."""
    kinds = task.kinds[part]
    for place, section in enumerate(sections):
        width = sum(task.parts[one].width + task.kerf for one in (*section.parts, part))
        board = task.boards[section.stretch.kind]
        if section.stretch.kind in kinds and width <= board.width + task.kerf + EXACT:
            sections[place] = replace(section, parts=(*section.parts, part))
            return
    for stretch in stretches:
        taken = sum(task.section_length(one.parts) + task.kerf for one in sections if one.stretch == stretch)
        if stretch.kind in kinds and taken + task.parts[part].length <= stretch.length + EXACT:
            sections.append(Section(stretch, (part,)))
            return
