"""Pictures through Pillow, for the tests of the drawing board. `note FILE TEXT` saves a PNG with a text chunk; `read FILE` prints its
text chunks, mode, size and RGBA bytes in hexadecimal, a row a line; `set FILE X Y` makes a pixel white, as a paint program would."""
import sys
from PIL import Image, PngImagePlugin

action, path = sys.argv[1:3]
picture = Image.open(path)
picture.load()
if action == "note":
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", sys.argv[3])
    picture.save(path, pnginfo=notes)
elif action == "set":
    rgb = picture.convert("RGB")
    rgb.putpixel((int(sys.argv[3]), int(sys.argv[4])), (255, 255, 255))
    rgb.save(path)
else:
    print(sorted(picture.text.items()), picture.mode)
    rgba = picture.convert("RGBA")
    print(*rgba.size)
    width = rgba.size[0] * 4
    data = rgba.tobytes()
    for start in range(0, len(data), width):
        print(data[start:start + width].hex())
