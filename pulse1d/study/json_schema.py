"""The JSON Schema of the study file, for editors.

``python -m pulse1d.study.json_schema`` rewrites the one that ships.
"""

from __future__ import annotations

import json
from pathlib import Path

from pulse1d.study.spec import StudyFile

SHIPPED = Path(__file__).parent / "shipped" / "study.schema.json"


def study_schema() -> str:
    """JSON Schema (draft 2020-12) of a study file.

    Returns
    -------
    text : str   JSON with a final newline [-]
    """
    schema = StudyFile.model_json_schema(by_alias=True)
    schema["title"] = "pulse1d study"
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    SHIPPED.write_text(study_schema(), encoding="utf-8")
