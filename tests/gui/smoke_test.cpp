// The real program under a display of its own: it starts, shows its window under its name, and leaves when
// asked. Where there is no Xvfb this says so and is skipped.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

namespace {

namespace fs = std::filesystem;

bool have(const char* program) {
  return std::system((std::string("command -v ") + program + " >/dev/null 2>&1").c_str()) == 0;
}

pid_t start(const std::vector<std::string>& words) {
  const pid_t child = fork();
  if (child != 0) return child;
  std::vector<char*> argv;
  for (const std::string& word : words) argv.push_back(const_cast<char*>(word.c_str()));
  argv.push_back(nullptr);
  execvp(argv[0], argv.data());
  _exit(127);
}

std::string output_of(const std::string& command) {
  std::string text;
  std::FILE* pipe = popen(command.c_str(), "r");
  std::array<char, 256> buffer{};
  while (pipe && std::fgets(buffer.data(), static_cast<int>(buffer.size()), pipe)) text += buffer.data();
  if (pipe) pclose(pipe);
  return text;
}

// Exit status within the time, else -1.
int wait_for(pid_t child, std::chrono::seconds most) {
  const auto end = std::chrono::steady_clock::now() + most;
  int status = 0;
  while (std::chrono::steady_clock::now() < end) {
    if (waitpid(child, &status, WNOHANG) == child) return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }
  return -1;
}

class Smoke : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "spile-smoke-XXXXXX").string();
    folder_ = mkdtemp(pattern.data());
    setenv("XDG_CONFIG_HOME", folder_.c_str(), 1);
    setenv("XDG_STATE_HOME", folder_.c_str(), 1);
  }
  void TearDown() override {
    if (server_ > 0) {
      kill(server_, SIGTERM);
      waitpid(server_, nullptr, 0);
    }
    fs::remove_all(folder_);
  }
  void start_display() {
    // The server picks a free number and writes it down.
    const fs::path number = folder_ / "display";
    server_ = start(
        {"sh", "-c",
         "exec Xvfb -displayfd 3 -screen 0 1280x800x24 -noreset 3>" + number.string() + " 2>/dev/null"});
    std::string text;
    for (int i = 0; i < 200 && text.find('\n') == std::string::npos; ++i) {
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
      text = output_of("cat " + number.string());
    }
    ASSERT_NE(text.find('\n'), std::string::npos) << "Xvfb did not start";
    std::string display = ":";
    display.append(text, 0, text.find('\n'));
    setenv("DISPLAY", display.c_str(), 1);
  }
  fs::path folder_;
  pid_t server_ = 0;
};

TEST_F(Smoke, OpensItsWindowAndLeavesOnCtrlQ) {
  if (!have("Xvfb") || !have("xdotool"))
    GTEST_SKIP() << "Xvfb or xdotool is missing: the window was not opened";
  start_display();
  const pid_t desk = start({SPILE_DESK});
  std::string window;
  for (int i = 0; i < 100 && window.empty(); ++i)
    window = output_of("xdotool search --sync --onlyvisible --name '^Spile$' 2>/dev/null");
  ASSERT_FALSE(window.empty());
  window.resize(window.find('\n'));
  output_of("xdotool windowfocus " + window + " 2>&1; xdotool mousemove --window " + window +
            " 640 700 2>&1");
  std::this_thread::sleep_for(std::chrono::milliseconds(500));
  output_of("xdotool keydown --delay 100 ctrl keydown --delay 100 q keyup --delay 100 q keyup ctrl 2>&1");
  EXPECT_EQ(wait_for(desk, std::chrono::seconds(20)), 0);
}

TEST_F(Smoke, WithoutADisplayItSaysSoInASentence) {
  const std::string said =
      output_of(std::string("env -u DISPLAY -u WAYLAND_DISPLAY ") + SPILE_DESK + " 2>&1");
  EXPECT_NE(said.find("no display"), std::string::npos) << said;
}

TEST_F(Smoke, APictureOfTheWindowNeedsNoDisplay) {
  const fs::path picture = folder_ / "start.png";
  const std::string said = output_of(std::string("env -u DISPLAY ") + SPILE_DESK + " --screenshot " +
                                     picture.string() + " --size 640x480 --view start 2>&1");
  ASSERT_TRUE(fs::exists(picture)) << said;
  EXPECT_GT(fs::file_size(picture), 5000U);
}

}  // namespace
