"""The keys that may stand at a place of a pattern file, for suggestions."""

from __future__ import annotations

from grader.loading.file_model import (
    ChangeForm,
    ColourForm,
    CongruenceForm,
    FinishedForm,
    FitForm,
    Form,
    GaugeForm,
    NeedleForm,
    OverrideForm,
    OwnSizeForm,
    PatternForm,
    RowForm,
    RuleForm,
    SampleForm,
    SectionForm,
    SizesForm,
    StepForm,
    StitchPatternForm,
    YarnForm,
)

_FORMS: dict[str, type[Form]] = {
    "gauge": GaugeForm,
    "yarn": YarnForm,
    "fit": FitForm,
    "sizes": SizesForm,
    "own": OwnSizeForm,
    "steps": StepForm,
    "repeat": StepForm,
    "row": RowForm,
    "rows": RowForm,
    "sections": SectionForm,
    "sample": SampleForm,
    "multiple_of": CongruenceForm,
    "changelog": ChangeForm,
}
_NAMED_FORMS: dict[str, type[Form]] = {
    "numbers": RuleForm,
    "stitch_patterns": StitchPatternForm,
    "needles": NeedleForm,
    "colours": ColourForm,
    "finished": FinishedForm,
    "setups": OverrideForm,
}


def keys_at(path: tuple[str | int, ...]) -> list[str]:
    """The keys a map at this path of the file may have."""
    form: type[Form] = PatternForm
    parts = iter(path)
    for part in parts:
        if part in _NAMED_FORMS:
            form = _NAMED_FORMS[str(part)]
            next(parts, None)
        elif part in _FORMS:
            form = _FORMS[str(part)]
    return [field.alias or name for name, field in form.model_fields.items()]
