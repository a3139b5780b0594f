# The arrows of the house: which layers and which outside libraries each layer may reach.
# spile_layer() in the root CMakeLists.txt refuses any other link, src/arrows.cmake any other #include.
set(SPILE_LAYERS assets outcome units model metrology trends rules hydraulics figures report vision db app gui)

set(SPILE_MAY_USE_assets "")
set(SPILE_MAY_USE_outcome "")
set(SPILE_MAY_USE_units outcome)
set(SPILE_MAY_USE_model outcome units)
set(SPILE_MAY_USE_metrology outcome units model)
set(SPILE_MAY_USE_trends outcome units model metrology)
set(SPILE_MAY_USE_rules assets outcome units model metrology)
set(SPILE_MAY_USE_hydraulics outcome units model)
set(SPILE_MAY_USE_figures outcome units model metrology trends rules hydraulics)
set(SPILE_MAY_USE_report assets outcome units model metrology trends rules hydraulics figures)
set(SPILE_MAY_USE_vision outcome units metrology model)
set(SPILE_MAY_USE_db outcome units model)
set(SPILE_MAY_USE_app assets outcome units model metrology trends rules hydraulics figures report vision db)
# The window sees pictures and measuring reports as the use cases hand them on; their headers carry no OpenCV.
set(SPILE_MAY_USE_gui assets outcome units model metrology trends rules hydraulics figures app vision)

foreach(layer IN LISTS SPILE_LAYERS)
  set(SPILE_FOLDER_${layer} src/${layer})
endforeach()
foreach(layer assets vision db gui)
  set(SPILE_FOLDER_${layer} ${layer})
endforeach()

# Outside libraries by the shape of their #include, and the layers that may meet them.
set(SPILE_OUTSIDE
    "^opencv2/:vision" "^Eigen/:vision" "^exiv2/:vision" "^libheif/:vision" "^turbojpeg.h:vision"
    "^SQLiteCpp/:db" "^sqlite3.h:db" "^openssl/:db,app"
    "^(imgui|backends/|misc/|GLFW/|GL/|EGL/|imstb|stb):gui"
    "^(cairo|pango|ft2build|freetype|fontconfig|hb|glib|poppler):report"
    "^CLI/:app,gui" "^spdlog/:app" "^nlohmann/:db,app,gui"
    "^boost/:metrology,hydraulics"
    "^(unistd|fcntl|signal|dirent|poll|spawn|termios|pwd|dlfcn)\\.h:db,app,gui,report,vision" "^sys/:db,app,gui,report,vision")

# Sets RESULT to a sentence when `layer` may not include `path`, else to "".
function(spile_arrow_fault LAYER PATH RESULT)
  set(${RESULT} "" PARENT_SCOPE)
  foreach(other IN LISTS SPILE_LAYERS)
    if(PATH MATCHES "^${other}/" AND NOT other STREQUAL LAYER AND NOT other IN_LIST SPILE_MAY_USE_${LAYER})
      set(${RESULT} "the layer '${LAYER}' may not reach '${other}'" PARENT_SCOPE)
      return()
    endif()
  endforeach()
  foreach(row IN LISTS SPILE_OUTSIDE)
    string(REGEX MATCH "^(.*):([a-z,]+)$" whole "${row}")
    set(shape "${CMAKE_MATCH_1}")
    string(REPLACE "," ";" allowed "${CMAKE_MATCH_2}")
    if(PATH MATCHES "${shape}" AND NOT LAYER IN_LIST allowed)
      set(${RESULT} "the layer '${LAYER}' may not include <${PATH}>: that library belongs to ${allowed}" PARENT_SCOPE)
      return()
    endif()
  endforeach()
endfunction()
