"""What the shop knows: rule values with unit and reason, the catalogue of carriers, felts and hardware, the shelf."""
