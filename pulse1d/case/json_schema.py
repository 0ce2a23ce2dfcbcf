"""The JSON Schema of the case file, for editors.

``python -m pulse1d.case.json_schema`` rewrites the one that ships.
"""

from __future__ import annotations

import json
from pathlib import Path

from pulse1d.case.schema import Case, Head

SHIPPED = Path(__file__).parent / "shipped" / "case.schema.json"


def case_schema() -> str:
    """JSON Schema (draft 2020-12) of a case file.

    A case that is based on another may leave out everything but the format; a head or a
    calibration may be a file name. Both are relaxed here, and checked when the case is loaded.

    Returns
    -------
    text : str   JSON with a final newline [-]
    """
    schema = Case.model_json_schema(by_alias=True)
    schema["title"] = "pulse1d case"
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["required"] = ["format"]
    head = Head.model_json_schema(by_alias=True)
    schema["properties"]["head"] = {
        "anyOf": [
            {"type": "string", "description": "a head file beside the case"},
            {"$ref": "#/$defs/Head"},
        ]
    }
    schema["$defs"].update(head.pop("$defs", {}))
    schema["$defs"]["Head"] = head
    schema["properties"]["calibration"] = {
        "anyOf": [
            {"type": "string", "description": "a calibration file beside the case"},
            {"$ref": "#/$defs/Calibration"},
        ]
    }
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    SHIPPED.write_text(case_schema(), encoding="utf-8")
