#!/bin/sh
# Makes the demo's pictures again, byte for byte, from tests/scenes/demo_pictures.json.
# Usage: assets/demo/remake.sh [build folder]   (default build/release, with spile-scenes built)
set -e
root=$(cd "$(dirname "$0")/../.." && pwd)
build=${1:-$root/build/release}
exec "$build/bin/spile-scenes" --recipes "$root/tests/scenes/demo_pictures.json" --out "$root/assets/demo"
