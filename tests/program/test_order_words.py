"""What short orders are taken for. What each sentence means is plain speech of its language, no published source."""

from __future__ import annotations

import pytest

from builder.program.languages import LANGUAGES
from builder.program.order_words import Order, is_emergency, order_of, orders_in
from tests.each import each

STAY = {
    "en": ("Carry on.", "Stay.", "Keep working; call 4400", "Do not leave.", "Finish the job, then out.", "No action."),
    "es": ("Siga trabajando.", "Ignore la alarma.", "No salga."),
    "de": ("Weiterarbeiten.", "Bleiben.", "Nicht verlassen."),
    "pl": ("Pracuj dalej.", "Nie wychodź."),
    "pt": ("Continue.", "Não saia."),
    "ar": ("استمر في العمل.", "لا تخرج. واصل."),
}
LEAVE = {
    "en": (
        "Leave.",
        "Stay out.",
        "Leave. Do not go on.",
        "Get out and stay away",
        "Nobody stays. Out.",
        "Leave. If in doubt, stay out.",
        "Leave at once.",
    ),
    "es": ("Salga y no siga.", "No vuelva hoy.", "A aire limpio."),
    "de": (
        "Draußen bleiben.",
        "Raus. Wenn unsicher, draußen bleiben.",
        "Nicht weiterarbeiten, raus.",
        "Heute nicht mehr hinein.",
    ),
    "pl": ("Nie pracuj dalej. Wyjdź.", "Nie wracaj."),
    "pt": ("Não continue. Saia.", "Fora já."),
    "ar": ("لا تستمر. اخرج.", "اخرج فورًا."),
}
UNKNOWN = {"en": ("Inform the office.", "Never carry on."), "de": ("Büro anrufen.",)}
PERHAPS = {
    "en": (
        "Acknowledge the alarm. Leave if it comes again.",
        "If it comes again, leave.",
        "Leave only at the second alarm.",
        "Put on your mask before you leave.",
    ),
    "es": ("Salga si vuelve a sonar.",),
    "de": ("Raus, wenn er wieder ertönt.", "Nur beim zweiten Alarm raus."),
    "pl": ("Wyjdź, jeśli znów zadzwoni.",),
    "pt": ("Saia caso toque de novo.",),
    "ar": ("اخرج إذا تكرر.",),
}
"""To leave, but under a condition."""
CASES = [
    pytest.param(language, text, order, id=f"{language} {text}")
    for order, texts in ((Order.STAY, STAY), (Order.LEAVE, LEAVE), (Order.PERHAPS, PERHAPS), (Order.UNKNOWN, UNKNOWN))
    for language, said in texts.items()
    for text in said
]


@each(("language", "text", "order"), CASES)
def test_an_order_is_understood(language, text, order):
    assert order_of(text, language) is order
    assert order_of(text.upper(), language) is order


def test_every_language_has_its_words():
    assert set(STAY) == set(LEAVE) == set(PERHAPS) == set(LANGUAGES)


@each(
    ("language", "emergency", "other"),
    [
        ("en", "emergency and rescue", "front desk"),
        ("es", "emergencia", "recepción"),
        ("de", "Notfall", "Pforte"),
        ("pl", "nagły wypadek", "recepcja"),
        ("pt", "emergência", "portaria"),
        ("ar", "الطوارئ", "الاستقبال"),
    ],
)
def test_a_contact_for_emergencies_is_told_from_others(language, emergency, other):
    assert is_emergency(emergency, language)
    assert not is_emergency(other, language)


@pytest.mark.parametrize(
    ("language", "text", "ordered"),
    [
        ("en", "Go in and bring them out.", True),
        ("en", "Mask on, go in.", True),
        ("en", "Never go in. Call rescue. Rescuers go in.", False),
        ("en", "Let nobody go in. Get in touch with rescue. Enter the time in the log.", False),
        ("es", "Entre y ayude.", True),
        ("es", "No entre. Entre en contacto con rescate.", False),
        ("de", "Hineingehen und helfen.", True),
        ("de", "Nicht hinein. Rettung rufen.", False),
        ("pl", "Wejdź i pomóż.", True),
        ("pl", "Nie wchodź.", False),
        ("pt", "Entre no poço.", True),
        ("pt", "Não entre. Entre em contato com o resgate.", False),
        ("ar", "ادخل وأخرجهم.", True),
        ("ar", "لا تدخل. اتصل بالإنقاذ.", False),
    ],
)
def test_who_is_ordered_in(language, text, ordered):
    assert orders_in(text, language) is ordered
