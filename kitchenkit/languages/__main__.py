"""Bring the catalogues into step with the texts of the code and the shipped data."""

from kitchenkit.languages import brought_up_to_date, catalogues
from kitchenkit.saving import save

for path in catalogues():
    content, missing = brought_up_to_date(path)
    save(path, content, keep=0)
    print(f"{path.name}: {missing} to translate")
