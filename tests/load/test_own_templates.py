"""Templates of a site's own: what they write is prose with its lines; nothing else can be reached from them.

The attacks are the usual ones on this template language: attributes that lead to classes and globals, files, calls,
and numbers or text that grow without end (its own manual on the sandbox names them).
"""

from __future__ import annotations

import time

from builder.base.where import Where
from builder.load.nodes import Entries
from builder.load.own_templates import LONGEST, Template, content_of, expanded
from builder.load.yaml_lines import readable_yaml
from tests.each import each

GIVEN = {
    "areas": [{"id": "pit", "name": "Pit *one* | [x](y)", "depth": "4 m"}, {"id": "tank", "name": "Tank"}],
    "site": {"name": "North"},
}
FRONT = Entries((), Where("templates/t.md", 1))


def written(body, given=GIVEN):
    return expanded(Template(FRONT, body, Where("templates/t.md", 7)), given)


def words(nodes):
    return [text for node in nodes for text in ([node.text] if node.text else words(node.children))]


def told(body):
    nodes, problems = written(body)
    assert nodes == ()
    (problem,) = problems
    return problem


def test_loops_and_conditions_write_prose_with_figures_by_their_keys():
    nodes, problems = written(
        "{% for area in areas %}\n- {{ area.name }}: {setpoint.{{ area.id }}.flammable.low}"
        "{% if area.depth is defined %}, deep{% endif %}\n\n{% endfor %}\n"
    )
    assert problems == ()
    assert words(nodes) == [
        "Pit *one* | [x](y): {setpoint.pit.flammable.low}, deep", "Tank: {setpoint.tank.flammable.low}"
    ]  # fmt: skip


def test_every_node_and_every_fault_has_the_line_of_the_template_that_wrote_it():
    nodes, problems = written(
        "First.\n\n{% for area in areas %}\n- {{ area.id }}\n{% endfor %}\n\nLast.\n\n<b>bold</b>\n"
    )
    assert [str(node.where) for node in nodes] == [f"templates/t.md:{line}" for line in (7, 10, 13, 15)]
    assert [str(problem) for problem in problems] == ["templates/t.md:15: raw HTML; allowed: Markdown only"]


@each(
    ("body", "said"),
    [
        ("{{ ''.__class__.__mro__ }}", "nothing is called '__mro__'"),
        ("{{ site.__class__ }}", "nothing is called '__class__'"),
        ("{{ site['__init__'] }}", "nothing is called '__init__'"),
        ("{{ self.__init__ }}", "nothing is called '__init__'"),
        ("{% macro a() %}{% endmacro %}{{ a.__globals__ }}", "a call; a template calls nothing"),
        ("{{ site.items }}", "nothing is called 'items'"),
        ("{{ site | attr('__class__') }}", "No filter named 'attr'."),
        ("{% for area in areas %}{{ loop.__class__ }}{% endfor %}", "nothing is called '__class__'"),
        ("{% include '/etc/passwd' %}", "another file; a template reads none"),
        ("{% import 'x' as x %}", "another file; a template reads none"),
        ("{% extends 'html/base.html' %}", "another file; a template reads none"),
        ("{{ areas.append(1) }}", "a call; a template calls nothing"),
        ("{{ 'x'.join(areas) }}", "a call; a template calls nothing"),
        ("{% for i in range(9) %}{% endfor %}", "a call; a template calls nothing"),
        ("{{ lipsum() }}", "a call; a template calls nothing"),
        ("{% set x = namespace(a=1) %}", "set is not among what a template may use"),
        ("{% set x %}{{ x }}{{ x }}{% endset %}", "set is not among what a template may use"),
        ("{% with x = 'a' %}{% endwith %}", "with is not among what a template may use"),
        ("{% filter upper %}x{% endfilter %}", "filterblock is not among what a template may use"),
        ("{{ areas | upper }}", "a list or mapping where a word was expected"),
        ("{{ areas | join }}", "join takes words, and at most 20 characters between them"),
        (
            "{{ ['a', 'b'] | join('------------------------') }}",
            "join takes words, and at most 20 characters between them",
        ),
        ("{{ 2 ** 3 }}", "'**' computes; every number of a handbook is calculated by the builder"),
        ("{{ 'a' * 1000000000 }}", "'*' computes; every number of a handbook is calculated by the builder"),
        ("{{ '%9999999d' % 1 }}", "'%' computes; every number of a handbook is calculated by the builder"),
        ("{{ -1 }}", "'-' computes; every number of a handbook is calculated by the builder"),
        ("{{ areas | sum }}", "No filter named 'sum'."),
        ("{{ areas | length }}", "a number that is no figure"),
        ("{{ 5 }}", "a number that is no figure"),
        ("{{ areas }}", "a list or mapping where a word was expected"),
        ("{% do areas %}", "Encountered unknown tag 'do'."),
        ("{% if %}", "Expected an expression, got 'end of statement block'"),
    ],
)
def test_nothing_but_what_is_given_can_be_reached_called_or_computed(body, said):
    problem = told("Words.\n" + body)
    assert problem.found == f"template: {said}"
    assert str(problem.where) == "templates/t.md:8"


def test_a_wrong_name_is_told_with_the_nearest():
    assert told("{{ aeras }}").nearest == ("areas",)
    assert told("{{ site.nmae }}").nearest == ("name",)


def test_what_grows_without_end_is_stopped():
    many = {"areas": [{"id": "x" * 100}] * 100}
    body = "{% for a in areas %}{% for b in areas %}{{ a.id }}{% endfor %}{% endfor %}"
    nodes, (problem,) = written(body, many)
    assert nodes == ()
    assert problem.found == f"template: it writes more than {LONGEST} characters"


def test_loops_in_loops_end_soon():
    many = {"areas": [{"id": "x"}] * 1000}
    begun = time.process_time()
    body = "{% for a in areas %}{% for b in areas %}{% for c in areas %}{% endfor %}{% endfor %}{% endfor %}"
    _, (problem,) = written(body, many)
    assert problem.found == "template: its loops go round more than 100000 times"
    assert time.process_time() - begun < 5, "any content is answered in ten seconds of processor time"


@each("value", ["<script>alert(1)</script>", "[x](https://example.org)", "![x](y)", "# Head", "`x`", "a\n\nb"])
def test_a_value_of_the_content_stays_plain_words(value):
    nodes, problems = written("Of {{ site.name }}.", {"site": {"name": value}})
    assert [node.kind for node in nodes] == ["paragraph"]
    assert {child.kind for child in nodes[0].children} == {"text"}
    assert words(nodes) == [f"Of {' '.join(value.split())}."]
    assert all(problem.found == "raw HTML" for problem in problems), "a tag is refused even as words"


def test_what_is_given_is_the_content_in_one_language_without_persons_and_units():
    files = {
        "site.yaml": "name: {en: North, de: Nord}\n",
        "areas.yaml": "areas:\n  - {id: pit}\n",
        "people.yaml": "people:\n  - {id: MO}\n",
        "inventory.yaml": "units:\n  - {id: X1}\n",
    }
    given = content_of({name: readable_yaml(text, name)[0] for name, text in files.items()}, "de", ("en", "de"))
    assert given["site"] == {"name": "Nord"}
    assert given["areas"] == [{"id": "pit"}]
    assert sorted(given) == ["areas", "checks", "cylinders", "gases", "models", "sensors", "setpoints", "site"]
