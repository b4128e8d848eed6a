"""Bring the catalogues into step with the texts of the code and the shipped data."""

from kitchenkit.languages import brought_up_to_date, catalogues

for path in catalogues():
    content, missing = brought_up_to_date(path)
    path.write_bytes(content)
    print(f"{path.name}: {missing} to translate")
