"""What a chemist would write: every frame decoded, the mean colour of every region. Bench only."""
import glob, json, os, sys
import cv2
import numpy as np

source, rig = sys.argv[1], json.load(open(sys.argv[2]))
boxes = [(r["x"], r["y"], r["width"], r["height"]) for r in rig["regions"]]


def frames():
    if os.path.isdir(source):
        for name in sorted(glob.glob(os.path.join(source, "*.jpg"))):
            yield cv2.imread(name)
        return
    film = cv2.VideoCapture(source)
    while True:
        good, frame = film.read()
        if not good:
            return
        yield frame


rows = []
for frame in frames():
    hsv = cv2.cvtColor(frame, cv2.COLOR_BGR2HSV)
    rows.append([hsv[y : y + h, x : x + w].reshape(-1, 3).mean(axis=0) for x, y, w, h in boxes])
print(np.array(rows).shape)
